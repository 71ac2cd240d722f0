"""Outlines of sites and stands; those of zones are saved with the zone."""

import datetime
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, TypeVar

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import DrawnOutside
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.stands.services.rows import locked, set_values
from reedcrew.trade.outline import Outline, outline_from, placing_of

Drawn = TypeVar("Drawn", Site, Stand)

_TENTH = Decimal("0.1")


def outline_values(outline: Outline | None) -> dict[str, Any]:
    """The fields of a row that an outline decides: the geometry, and the area in m² to one decimal."""
    return {
        "outline": outline.geojson if outline else None,
        "area_m2": Decimal(outline.area_m2).quantize(_TENTH) if outline else None,
    }


@transaction.atomic
def draw_outline(*, row: Drawn, version: int, outline: Outline | None, actor: Account, now: datetime.datetime) -> Drawn:
    """Give a site its boundary or a stand its outline, or take it away. ``version`` is that of the row as seen.

    Raises ChangedMeanwhile, RemovedMeanwhile, and DrawnOutside when a zone of the stand would lie wholly outside.
    """
    drawn = put_outline(row=row, version=version, outline=outline, actor=actor, now=now)
    if isinstance(drawn, Stand):
        refuse_outside(drawn, drawn.zones.all())
    return drawn


def put_outline(*, row: Drawn, version: int, outline: Outline | None, actor: Account, now: datetime.datetime) -> Drawn:
    """As draw_outline, for a caller that asks refuse_outside itself when all is drawn, inside its own transaction."""
    site: Site = row if isinstance(row, Site) else row.site
    locked(site)
    drawn = locked(row)
    if changes := set_values(drawn, version, outline_values(outline)):
        drawn.save(update_fields=["outline", "area_m2", "version"])
        what = "site outlined" if isinstance(drawn, Site) else "stand outlined"
        record(group=site.group, actor=actor, at=now, deed=what, subject=drawn, changes=changes)
    return drawn


def refuse_outside(stand: Stand, zones: Iterable[Zone]) -> None:
    """Raises DrawnOutside for the first of these zones that lies wholly outside the outline of their stand."""
    if not stand.outline:
        return
    around = outline_from(stand.outline)
    for zone in zones:
        if zone.outline:
            placing = placing_of(zone.name, outline_from(zone.outline), stand=around, others={})
            if placing.wholly_outside:
                raise DrawnOutside(placing.reasons[0])
