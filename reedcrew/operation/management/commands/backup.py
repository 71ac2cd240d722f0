"""Back up the database and the photos into one encrypted file."""

from argparse import ArgumentParser
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils import timezone

from reedcrew.operation.backup import sealing
from reedcrew.operation.backup.making import forget_old, make_backup
from reedcrew.operation.errors import BackupError


class Command(BaseCommand):
    """Exit status 0 once the file is whole and on the disk."""

    help = "Back up the database and the photos into one file of BACKUP_DIR, locked for BACKUP_KEY."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--new-key", type=Path, metavar="FILE", help="only make a pair of keys: the one that opens goes into FILE"
        )
        parser.add_argument(
            "--with-secrets",
            action="store_true",
            help="put FIELD_KEYS and SECRET_KEY inside, too; whoever opens the backup then reads private fields",
        )

    def handle(self, *args: object, new_key: Path | None, with_secrets: bool, **options: object) -> None:
        try:
            if new_key is not None:
                self._make_key(new_key)
            else:
                self._back_up(with_secrets)
        except BackupError as error:
            raise CommandError(str(error)) from error

    def _make_key(self, path: Path) -> None:
        public = sealing.new_key(path)
        self.stdout.write(f"BACKUP_KEY={public}")
        self.stderr.write(f"Keep {path} on another machine, twice: without it no backup can be opened.")

    def _back_up(self, with_secrets: bool) -> None:
        now = timezone.now()
        secrets = {"FIELD_KEYS": ",".join(settings.FIELD_KEYS), "SECRET_KEY": settings.SECRET_KEY}
        path = make_backup(
            connection=connection,
            media_folder=settings.MEDIA_ROOT,
            folder=settings.BACKUP_DIR,
            keys=settings.BACKUP_KEY,
            secrets=secrets if with_secrets else None,
            now=now,
            clock=timezone.now,
        )
        self.stdout.write(str(path))
        for name in forget_old(folder=path.parent, keep=timedelta(days=settings.BACKUP_KEEP_DAYS), now=now):
            self.stdout.write(f"Removed {name}")
