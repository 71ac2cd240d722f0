"""Rows of a PostgreSQL database: every table by COPY in one transaction, which sees one moment.

No program of PostgreSQL is needed, so that its version need not match the server's. The tables are made by the
migrations that the backup names; objects that no migration made are not in it.
"""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO, Any

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder
from psycopg import sql

from reedcrew.operation.backup import migrating
from reedcrew.operation.backup.archive import DATABASE, ArchiveWriter
from reedcrew.operation.backup.sums import TableSum, differences
from reedcrew.operation.errors import BackupError

SPOOLED_IN_MEMORY = 8 << 20
A_PIECE = 1 << 16
# The text of a value must not depend on how a server or a role is set up.
SAME_TEXT = (
    "SET LOCAL TIME ZONE 'UTC'; SET LOCAL datestyle TO 'ISO, YMD'; SET LOCAL intervalstyle TO 'postgres'; "
    "SET LOCAL extra_float_digits TO 1; SET LOCAL bytea_output TO 'hex'"
)
COLUMNS = """
    SELECT column_name FROM information_schema.columns
    WHERE table_schema = current_schema() AND table_name = %s AND is_generated = 'NEVER' ORDER BY column_name
"""
SEQUENCES = """
    SELECT relation.relname, attribute.attname, pg_get_serial_sequence(relation.oid::regclass::text, attribute.attname)
    FROM pg_class relation JOIN pg_attribute attribute ON attribute.attrelid = relation.oid
    WHERE relation.relname = ANY(%s) AND relation.relnamespace = current_schema()::regnamespace AND attribute.attnum > 0
    AND NOT attribute.attisdropped
    AND pg_get_serial_sequence(relation.oid::regclass::text, attribute.attname) IS NOT NULL
"""


def pack(connection: BaseDatabaseWrapper, archive: ArchiveWriter) -> dict[str, Any]:
    """Put the rows of this moment into the archive; what must be there after a restore."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        cursor.execute(SAME_TEXT)
        tables = _tables(connection, cursor)
        sums = {}
        for table in tables:
            with tempfile.SpooledTemporaryFile(SPOOLED_IN_MEMORY) as rows:
                columns = _columns(cursor, table)
                rows.write("\t".join(columns).encode() + b"\n")
                sums[table] = _copied_out(cursor, table, columns, rows).record()
                size = rows.tell()
                rows.seek(0)
                archive.add(f"{DATABASE}{table}", rows, size)
        return {"tables": sums, "sequences": _sequences(cursor, tables)}


def is_empty(connection: BaseDatabaseWrapper) -> bool:
    """Whether there is not a single table."""
    with connection.cursor() as cursor:
        return not connection.introspection.table_names(cursor)


class Unpacking:
    """A restore in progress, inside of one transaction."""

    def __init__(self, connection: BaseDatabaseWrapper, cursor: Any) -> None:
        self._connection, self._cursor = connection, cursor

    def take(self, name: str, content: IO[bytes]) -> None:
        table = name.removeprefix(DATABASE)
        if table not in _tables(self._connection, self._cursor):
            raise BackupError(f"The migrations that the backup names make no table {table!r}.")
        columns = content.readline().decode().strip().split("\t")
        if columns != _columns(self._cursor, table):
            raise BackupError(f"The migrations that the backup names give the table {table} other columns.")
        with self._cursor.copy(_copy(table, columns, "FROM STDIN")) as rows:
            while piece := content.read(A_PIECE):
                rows.write(piece)

    def finish(self, sums: dict[str, Any]) -> list[str]:
        """Set the counters, and compare; the names of tables that differ."""
        cursor = self._cursor
        tables = _tables(self._connection, cursor)
        places = dict(_places(cursor, tables))
        for name, (last, called) in sums["sequences"].items():
            cursor.execute("SELECT setval(%s::regclass, %s, %s)", [places[name], last, called])
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # what refers to a row that is not there fails here
        found = {table: _copied_out(cursor, table, _columns(cursor, table)).record() for table in tables}
        return differences(sums["tables"], found)


@contextmanager
def unpacking(connection: BaseDatabaseWrapper, migrations: list[list[str]]) -> Iterator[Unpacking]:
    """Tables as these migrations make them, empty; all is undone unless it ends well."""
    applied = [(app, name) for app, name in migrations]
    if unknown := migrating.unknown(connection, applied):
        raise BackupError(
            f"The backup was made by a version with the migration {unknown[0]}, which this one has not. Restore it "
            "with the version that made it, then go on to another."
        )
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        migrating.migrate_to(connection, applied)
        cursor.execute(SAME_TEXT)
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        names = sql.SQL(", ").join(sql.Identifier(table) for table in _tables(connection, cursor))
        cursor.execute(sql.SQL("TRUNCATE {}").format(names))  # what a migration wrote stands in the backup too
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")
        yield Unpacking(connection, cursor)


def _tables(connection: BaseDatabaseWrapper, cursor: Any) -> list[str]:
    """The tables of our models and the record of migrations: what migrations make."""
    ours = {
        *connection.introspection.django_table_names(include_views=False),
        MigrationRecorder.Migration._meta.db_table,
    }
    return sorted(set(ours) & set(connection.introspection.table_names(cursor)))


def _columns(cursor: Any, table: str) -> list[str]:
    cursor.execute(COLUMNS, [table])
    return [name for (name,) in cursor.fetchall()]


def _copy(table: str, columns: list[str], where: str) -> sql.Composed:
    names = sql.SQL(", ").join(sql.Identifier(column) for column in columns)
    return sql.SQL("COPY {} ({}) {}").format(sql.Identifier(table), names, sql.SQL(where))


def _copied_out(cursor: Any, table: str, columns: list[str], to: Any = None) -> TableSum:
    """Read a table, and write its lines where told; a line end within a value is written in two other signs."""
    found, rest = TableSum(), b""
    with cursor.copy(_copy(table, columns, "TO STDOUT")) as rows:
        for piece in rows:
            if to is not None:
                to.write(piece)
            *lines, rest = (rest + bytes(piece)).split(b"\n")
            for line in lines:
                found.add(line)
    return found


def _places(cursor: Any, tables: list[str]) -> list[tuple[str, str]]:
    """The counters of tables, each with its name in the backup, which is not the database's own."""
    cursor.execute(SEQUENCES, [tables])
    return sorted((f"{table}.{column}", sequence) for table, column, sequence in cursor.fetchall())


def _sequences(cursor: Any, tables: list[str]) -> dict[str, list[object]]:
    found = {}
    for name, sequence in _places(cursor, tables):
        cursor.execute(f"SELECT last_value, is_called FROM {sequence}")  # noqa: S608 - quoted by the database itself
        found[name] = list(cursor.fetchone())
    return found
