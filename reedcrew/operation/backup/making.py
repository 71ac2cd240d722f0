"""Making a backup: one file, written whole or not at all, and a row that tells how it went."""

import datetime
import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Protocol

import psycopg
from django.db import DatabaseError
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder

from reedcrew.operation.backup import archive, media, postgres, sealing, sqlite
from reedcrew.operation.backup.archive import ArchiveWriter
from reedcrew.operation.errors import BackupError
from reedcrew.operation.models import BackupRun
from reedcrew.operation.versions import reedcrew_version

NAME = "reedcrew-{:%Y%m%dT%H%M%SZ}.age"
OWN_NAME = re.compile(r"reedcrew-(\d{8}T\d{6}Z)\.age")
KEPT_AT_LEAST = 3  # however old they are: a clock that jumps must not empty the folder
RUNS_KEPT = 100
FAULT_LENGTH = 300


class Driver(Protocol):
    """What is done with the rows of one kind of database."""

    def pack(self, connection: BaseDatabaseWrapper, archive: ArchiveWriter) -> dict[str, Any]: ...
    def is_empty(self, connection: BaseDatabaseWrapper) -> bool: ...
    def unpacking(self, connection: BaseDatabaseWrapper, migrations: list[list[str]]) -> Any: ...


DRIVERS: dict[str, Driver] = {"sqlite": sqlite, "postgresql": postgres}


def make_backup(
    *,
    connection: BaseDatabaseWrapper,
    media_folder: Path,
    folder: Path,
    keys: Sequence[str],
    secrets: dict[str, str] | None,
    now: datetime.datetime,
    clock: Callable[[], datetime.datetime],
) -> Path:
    """Write a backup into ``folder``, locked for ``keys``, and note the run; also one that fails. Raises BackupError.

    ``secrets`` are the installation's own, where the operator wants them inside. ``clock`` tells when it is finished.
    """
    path = folder / NAME.format(now)
    counted: dict[str, int] = {}
    try:
        recipients = sealing.recipients_of(keys)
        counted = _written(connection, media_folder, path, recipients, secrets, now)
    except (BackupError, OSError, DatabaseError, psycopg.Error) as error:
        sentence = str(error) if isinstance(error, BackupError) else f"The backup failed: {type(error).__name__}."
        _note(path, now, clock(), fault=sentence[:FAULT_LENGTH])
        raise error if isinstance(error, BackupError) else BackupError(f"{sentence} {error}") from error
    _note(path, now, clock(), octets=path.stat().st_size, **counted)
    return path


def forget_old(*, folder: Path, keep: datetime.timedelta, now: datetime.datetime) -> list[str]:
    """Remove backups older than ``keep`` by their names, but never the newest three; the names of those removed."""
    found = sorted(path.name for path in folder.iterdir() if OWN_NAME.fullmatch(path.name))
    oldest = NAME.format(now - keep)
    removed = [name for name in found[:-KEPT_AT_LEAST] if name < oldest]
    for name in removed:
        (folder / name).unlink()
    return removed


def _written(
    connection: BaseDatabaseWrapper,
    media_folder: Path,
    path: Path,
    recipients: Sequence[Any],
    secrets: dict[str, str] | None,
    now: datetime.datetime,
) -> dict[str, int]:
    """Write the file; what is in it. A reader of the folder sees the whole file or none."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    unfinished = path.with_name(f".{path.name}.unfinished")
    unfinished.unlink(missing_ok=True)
    head = {
        "format": archive.FORMAT,
        "made_at": now.isoformat(),
        "reedcrew": reedcrew_version(),
        "database": connection.vendor,
        "migrations": [list(key) for key in sorted(MigrationRecorder(connection).applied_migrations())],
    }
    try:
        with sealing.sealed(unfinished, recipients) as stream, archive.writing(stream) as tar:
            tar.add_json(archive.HEAD, head)
            sums = DRIVERS[connection.vendor].pack(connection, tar)
            sums["files"] = media.pack(media_folder, tar)
            if secrets is not None:
                tar.add_json(archive.SECRETS, secrets)
            tar.add_json(archive.SUMS, sums)
        unfinished.rename(path)
    finally:
        unfinished.unlink(missing_ok=True)
    rows = sum(number for number, _total in sums["tables"].values())
    return {"tables": len(sums["tables"]), "rows": rows, "files": len(sums["files"])}


def _note(path: Path, started_at: datetime.datetime, finished_at: datetime.datetime, **fields: Any) -> None:
    """Tell the operators' page; where the database is what failed, the exit status and the missing row tell it."""
    with suppress(DatabaseError):
        BackupRun.objects.create(started_at=started_at, finished_at=finished_at, file_name=path.name, **fields)
        BackupRun.objects.exclude(pk__in=list(BackupRun.objects.values_list("pk", flat=True)[:RUNS_KEPT])).delete()
