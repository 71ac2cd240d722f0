"""Restoring a backup into an empty place, and proving that all of it is there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

import psycopg
import pyrage
from cryptography.fernet import InvalidToken
from django.apps import apps
from django.db import DatabaseError
from django.db.backends.base.base import BaseDatabaseWrapper

from reedcrew.operation.backup import archive, media, sealing
from reedcrew.operation.backup.making import DRIVERS
from reedcrew.operation.errors import BackupError
from reedcrew.people.fields import EncryptedTextField, cipher


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What was restored and found equal to what was backed up."""

    made_at: str
    reedcrew: str
    tables: dict[str, int]  # rows of each
    files: int
    secrets: dict[str, str] | None


def restore_backup(
    *,
    path: Path,
    identities: Sequence[pyrage.x25519.Identity],
    connection: BaseDatabaseWrapper,
    media_folder: Path,
) -> Restored:
    """Restore into a database without tables and a folder without photos. Raises BackupError; the database is then as
    it was before."""
    driver = DRIVERS[connection.vendor]
    try:
        if not driver.is_empty(connection):
            raise BackupError(
                "The database of DATABASE_URL has tables already. A backup is restored into an empty one."
            )
        if not media.is_empty(media_folder):
            raise BackupError(f"{media_folder} has photos already. Name an empty folder to restore into.")
        with sealing.opened(path, identities) as stream:
            return _restored(archive.reading(stream), connection, media_folder)
    except (DatabaseError, psycopg.Error, OSError) as error:
        raise BackupError(f"The backup cannot be restored: {type(error).__name__}: {error}") from error


def _restored(parts: Iterator[tuple[str, IO[bytes]]], connection: BaseDatabaseWrapper, media_folder: Path) -> Restored:
    head = _head(parts, connection.vendor)
    sums: dict[str, Any] = {}
    secrets = None
    with (
        media.unpacking(media_folder) as photos,
        DRIVERS[connection.vendor].unpacking(connection, head["migrations"]) as database,
    ):
        for name, content in parts:
            if name.startswith(archive.MEDIA):
                photos.take(name, content)
            elif name == archive.SECRETS:
                secrets = archive.read_json(content)
            elif name == archive.SUMS:
                sums = archive.read_json(content)
            else:
                database.take(name, content)
        if not sums:
            raise BackupError("The backup is cut short: its sums are missing.")
        if wrong := photos.finish(sums) or database.finish(sums):
            raise BackupError(f"What was restored is not what was backed up: {', '.join(wrong)}.")
    return Restored(
        made_at=head["made_at"],
        reedcrew=head["reedcrew"],
        tables={table: rows for table, (rows, _total) in sums["tables"].items()},
        files=len(sums["files"]),
        secrets=secrets,
    )


def _head(parts: Iterator[tuple[str, IO[bytes]]], vendor: str) -> dict[str, Any]:
    name, content = next(parts, ("", None))
    if name != archive.HEAD or content is None:
        raise BackupError("This is no backup of Reedcrew: it does not begin with its head.")
    head: dict[str, Any] = archive.read_json(content)
    if head["format"] != archive.FORMAT:
        raise BackupError(f"The backup has the format {head['format']}, which this version does not read.")
    if head["database"] != vendor:
        raise BackupError(f"The backup holds rows of {head['database']}, and DATABASE_URL names {vendor}.")
    return head


def unreadable_private_values(connection: BaseDatabaseWrapper) -> int:
    """How many values of private fields none of FIELD_KEYS opens."""
    found = 0
    with connection.cursor() as cursor:
        for model in apps.get_models():
            for field in model._meta.local_fields:
                if not isinstance(field, EncryptedTextField):
                    continue
                table, column = (connection.ops.quote_name(name) for name in (model._meta.db_table, field.column))
                cursor.execute(f"SELECT {column} FROM {table} WHERE {column} <> ''")  # noqa: S608 - our own names
                found += sum(not _opens(value) for (value,) in cursor.fetchall())
    return found


def _opens(value: str) -> bool:
    try:
        cipher().decrypt(value.encode())
    except InvalidToken:
        return False
    return True
