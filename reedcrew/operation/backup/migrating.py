"""Tables as they were at an earlier time."""

from collections.abc import Collection

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor

Key = tuple[str, str]


def unknown(connection: BaseDatabaseWrapper, applied: Collection[Key]) -> list[str]:
    """Those of the migrations that this version has not."""
    graph = MigrationExecutor(connection).loader.graph
    return [f"{app}.{name}" for app, name in applied if (app, name) not in graph.nodes]


def newest(connection: BaseDatabaseWrapper, applied: Collection[Key]) -> list[Key]:
    """Those of the migrations that none of the others follows in its app."""
    nodes = MigrationExecutor(connection).loader.graph.node_map
    followed = {parent.key for key in applied for parent in nodes[key].parents if parent.key[0] == key[0]}
    return [key for key in applied if key not in followed]


def migrate_to(connection: BaseDatabaseWrapper, applied: Collection[Key]) -> None:
    """Apply these migrations to an empty database, and no later one. No signal is sent that would write rows."""
    MigrationExecutor(connection).migrate(newest(connection, applied))
