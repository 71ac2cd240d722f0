"""Rows of an SQLite database: a copy of the whole file at one moment, made while others write."""

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import IO, Any

from django.db.backends.base.base import BaseDatabaseWrapper

from reedcrew.operation.backup.archive import DATABASE, ArchiveWriter
from reedcrew.operation.backup.sums import TableSum, differences
from reedcrew.operation.errors import BackupError

NAME = f"{DATABASE}reedcrew.sqlite3"


def pack(connection: BaseDatabaseWrapper, archive: ArchiveWriter) -> dict[str, Any]:
    """Put the rows of this moment into the archive; what must be there after a restore. Raises BackupError."""
    source = _path_of(connection)
    with tempfile.TemporaryDirectory(prefix=".backup-", dir=source.parent) as folder:  # its owner's alone
        copy = Path(folder) / "copy"
        with _opened(source) as running:
            running.execute("VACUUM INTO ?", (str(copy),))
        _refuse_damaged(copy)
        with copy.open("rb") as content:
            archive.add(NAME, content, copy.stat().st_size)
        return {"tables": _sums_of(copy)}


def is_empty(connection: BaseDatabaseWrapper) -> bool:
    """Whether there is not a single table."""
    path = _path_of(connection)
    if not path.exists():
        return True
    with _opened(path) as database:
        return not _tables(database)


class Unpacking:
    """A restore in progress: beside the place until all is proven, then in it."""

    def __init__(self, connection: BaseDatabaseWrapper, folder: Path) -> None:
        self._target = _path_of(connection)
        self._copy = folder / "restored"

    def take(self, name: str, content: IO[bytes]) -> None:
        if name != NAME:
            raise BackupError(f"This is no backup of Reedcrew: {name!r} is none of its parts.")
        with self._copy.open("wb") as file:
            shutil.copyfileobj(content, file)

    def finish(self, sums: dict[str, Any]) -> list[str]:
        """Move it into its place, unless a table differs; the names of those that do."""
        if not self._copy.exists():
            return ["the database"]
        _refuse_damaged(self._copy)
        if found := differences(sums["tables"], _sums_of(self._copy)):
            return found
        for leftover in ("", "-wal", "-shm"):  # of the empty place
            with suppress(FileNotFoundError):
                Path(f"{self._target}{leftover}").unlink()
        self._copy.rename(self._target)
        return []


@contextmanager
def unpacking(connection: BaseDatabaseWrapper, migrations: list[list[str]]) -> Iterator[Unpacking]:
    """Room for a restore. The file brings its tables with it, whatever migrations made them."""
    connection.close()
    _path_of(connection).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".restore-", dir=_path_of(connection).parent) as folder:
        yield Unpacking(connection, Path(folder))


def _path_of(connection: BaseDatabaseWrapper) -> Path:
    return Path(connection.settings_dict["NAME"]).absolute()


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    try:
        with closing(sqlite3.connect(path, isolation_level=None, timeout=60)) as database:
            database.text_factory = lambda text: text.decode(errors="surrogateescape")
            yield database
    except sqlite3.Error as error:
        raise BackupError(f"The database {path.name} cannot be read: {error}.") from error


def _refuse_damaged(path: Path) -> None:
    with _opened(path) as database:
        told = [row[0] for row in database.execute("PRAGMA integrity_check(1)")]
        loose = database.execute("PRAGMA foreign_key_check").fetchone()
    if told != ["ok"] or loose:
        fault = told[0] if told != ["ok"] else f"a row of {loose[0]} refers to one that is not there"
        raise BackupError(f"The database is damaged: {fault}.")


def _tables(database: sqlite3.Connection) -> list[str]:
    return [name for (name,) in database.execute("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")]


def _sums_of(path: Path) -> dict[str, Any]:
    sums = {}
    with _opened(path) as database:
        for table in _tables(database):
            sums[table] = TableSum()
            for row in database.execute(f'SELECT * FROM "{table}"'):  # noqa: S608 - a name of the schema itself
                sums[table].add(repr(row).encode(errors="surrogateescape"))
    return {table: each.record() for table, each in sums.items()}
