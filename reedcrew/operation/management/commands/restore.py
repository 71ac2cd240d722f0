"""Restore a backup into an empty database and an empty folder of photos, and prove that all of it is there."""

import os
from argparse import ArgumentParser
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from reedcrew.operation.backup import sealing
from reedcrew.operation.backup.restoring import restore_backup, unreadable_private_values
from reedcrew.operation.errors import BackupError


class Command(BaseCommand):
    """Exit status 0 once every table and every photo was compared and found equal."""

    help = "Restore a backup into the empty place that DATABASE_URL and REEDCREW_MEDIA name, and compare."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument("--key", type=Path, required=True, metavar="FILE", help="the key that opens it")
        parser.add_argument(
            "--secrets-to", type=Path, metavar="FILE", help="where FIELD_KEYS and SECRET_KEY go, if they are inside"
        )

    def handle(self, *args: object, file: Path, key: Path, secrets_to: Path | None, **options: object) -> None:
        try:
            restored = restore_backup(
                path=file,
                identities=sealing.identities_in(key),
                connection=connection,
                media_folder=settings.MEDIA_ROOT,
            )
        except BackupError as error:
            raise CommandError(str(error)) from error
        width = max(map(len, restored.tables))
        for table, rows in restored.tables.items():
            self.stdout.write(f"{table:{width}} {rows:>10} rows, equal")
        self.stdout.write(f"{restored.files} photos, equal")
        self.stdout.write(f"Restored what Reedcrew {restored.reedcrew} held at {restored.made_at}")
        if restored.secrets and secrets_to:
            with os.fdopen(os.open(secrets_to, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as out:
                out.writelines(f"{name}={value}\n" for name, value in restored.secrets.items())
            self.stdout.write(f"The secrets of the installation are in {secrets_to}")
        elif closed := unreadable_private_values(connection):
            self.stderr.write(
                f"{closed} private values cannot be read with the present FIELD_KEYS. Set those that the installation "
                "had: without them emergency contacts and health notes are lost."
            )
