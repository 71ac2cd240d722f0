"""What the services of sites, stands and zones share: locking a row, setting its values, saving it under its name."""

from collections.abc import Mapping
from typing import Any, TypeVar

from django.db import models

from reedcrew.stands.errors import ChangedMeanwhile, RemovedMeanwhile, StandsError
from reedcrew.stands.models import Gauge, Site, SiteNotice, Stand, Zone

Row = TypeVar("Row", Site, Stand, Zone, Gauge, SiteNotice)
Named = TypeVar("Named", Site, Stand, Zone)


def locked(row: Row) -> Row:
    """The row as it is now, locked until the transaction ends. Raises RemovedMeanwhile when it is gone."""
    found = type(row)._default_manager.select_for_update(no_key=True).filter(pk=row.pk).first()
    if found is None:
        raise RemovedMeanwhile(name=str(row))
    return found


def set_values(row: Row, version: int, values: Mapping[str, Any]) -> dict[str, list[str]]:
    """Put values on a locked row and count its version up; returns before and after of each that differs.

    Nothing differs: the row stays as it is, whatever the version, so that a change sent twice does no harm. Raises
    ChangedMeanwhile for another version than the row's.
    """
    changes: dict[str, list[str]] = {}
    for name, value in values.items():
        before, before_text = getattr(row, name), _as_text(row, name)
        if before != value:
            setattr(row, name, value)
            changes[name] = [before_text, _as_text(row, name)]
    if changes:
        if row.version != version:
            raise ChangedMeanwhile(name=str(row))
        row.version += 1
    return changes


def _as_text(row: models.Model, name: str) -> str:
    field = next(field for field in row._meta.concrete_fields if field.name == name)
    # An outline can have thousands of positions; the record of deeds keeps that there was one, and its area beside it.
    if isinstance(field, models.JSONField):
        return "" if getattr(row, field.attname) is None else "outline"
    return str(field.value_to_string(row))


def save_checked(row: Named, taken: type[StandsError]) -> None:
    """Validate a row and save it. Raises ``taken`` for a name in use and ValidationError for any other bad value."""
    clashes = type(row)._default_manager.filter(name=row.name, **_neighbours(row)).exclude(pk=row.pk)
    if clashes.exists():
        raise taken(name=row.name)
    row.full_clean()
    row.save()


def _neighbours(row: Named) -> dict[str, object]:
    # Among these the name must be the only one. The caller has locked the row above them, so that none joins meanwhile.
    if isinstance(row, Site):
        return {"group": row.group_id}
    if isinstance(row, Stand):
        return {"site": row.site_id}
    return {"stand": row.stand_id}
