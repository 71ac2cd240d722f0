"""All rows of a database as text, and back into another one, by the models that its migrations had at that time.

A kept database names the migrations that had been applied; its rows are those of the models as these migrations leave
them, so that it can be loaded for ever, on either database, whatever the models have become. Private fields are kept in
the clear and encrypted again with the keys of whoever loads them: nothing but invented people belongs in here.
"""

import gzip
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.apps.registry import Apps
from django.db import connection, models, transaction
from django.db.migrations.loader import MigrationLoader

from reedcrew.operation.backup.migrating import migrate_to

KEPT = Path(__file__).parent / "kept"
Key = tuple[str, str]


def tables(apps: Any) -> list[type[models.Model]]:
    """Every model of a state with a table of its own, those of many-to-many relations among them, in one order."""
    found = (model for model in apps.get_models(include_auto_created=True) if model._meta.managed)
    return sorted((model for model in found if not model._meta.proxy), key=lambda model: model._meta.db_table)


def lines_of(apps: Any) -> Iterator[dict[str, Any]]:
    """One line a row: its table, and its values as text."""
    for model in tables(apps):
        fields = model._meta.concrete_fields
        for row in model._base_manager.order_by("pk").iterator():
            values = {
                field.attname: None if field.value_from_object(row) is None else field.value_to_string(row)
                for field in fields
            }
            yield {"table": model._meta.db_table, "row": values}


def keep(path: Path, apps: Any, migrations: list[Key]) -> int:
    """Write the database of this process to a file; how many rows it holds. The same rows make the same bytes."""
    path.parent.mkdir(exist_ok=True)
    rows = 0
    with path.open("wb") as raw, gzip.GzipFile(filename="", fileobj=raw, mode="wb", mtime=0) as file:
        file.write(json.dumps({"migrations": sorted(migrations)}).encode() + b"\n")
        for line in lines_of(apps):
            file.write(json.dumps(line, ensure_ascii=False, sort_keys=True).encode() + b"\n")
            rows += 1
    return rows


def read(path: Path) -> tuple[list[Key], list[dict[str, Any]]]:
    """The migrations and the rows of a file."""
    with gzip.open(path, "rt", encoding="utf-8") as file:
        migrations = json.loads(file.readline())["migrations"]
        return [(app, name) for app, name in migrations], [json.loads(line) for line in file]


def state_of(migrations: list[Key]) -> Apps:
    """The models as these migrations leave them."""
    return MigrationLoader(connection).project_state(migrations).apps


def load(migrations: list[Key], lines: list[dict[str, Any]]) -> None:
    """Make the tables of these migrations in the empty database of this process, and fill them."""
    migrate_to(connection, migrations)
    by_table = {model._meta.db_table: model for model in tables(state_of(migrations))}
    for field in (field for model in by_table.values() for field in model._meta.concrete_fields):
        if isinstance(field, models.DateField):  # moments stay those of the rows
            field.auto_now = field.auto_now_add = False
    rows: dict[str, list[models.Model]] = {}
    for line in lines:
        model = by_table[line["table"]]
        values = {
            field.attname: None if line["row"][field.attname] is None else field.to_python(line["row"][field.attname])
            for field in model._meta.concrete_fields
        }
        rows.setdefault(line["table"], []).append(model(**values))
    with transaction.atomic():
        for table, found in rows.items():
            by_table[table]._base_manager.bulk_create(found, batch_size=500)
    connection.check_constraints()
