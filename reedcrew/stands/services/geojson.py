"""Taking over a FeatureCollection: new stands and zones, and outlines of those that are there. All of it or none."""

import datetime
import hashlib
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from reedcrew.people.models import Account, Group
from reedcrew.stands.errors import FeatureRefused, StandsError
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.stands.services.outlines import put_outline, refuse_outside
from reedcrew.stands.services.stands import record_stand
from reedcrew.stands.services.zones import change_zone, record_zone
from reedcrew.trade.outline import Outline


class Taking(StrEnum):
    """What becomes of a feature."""

    ADD = "add"
    REDRAW = "redraw"
    KEEP = "keep"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What one feature, counted from 1, becomes. ``row`` is what it is about, or None for what is new.

    New stands and all zones name their ``site``; zones name their stand by its name, because it may be new as well.
    ``values`` are the fields of a new row.
    """

    number: int
    kind: str
    name: str
    taking: Taking
    site: Site
    stand_name: str = ""
    row: Site | Stand | Zone | None = None
    outline: Outline | None = None
    values: dict[str, Any] = field(default_factory=dict)

    @property
    def where(self) -> str:
        return " · ".join(part for part in (self.site.name, self.stand_name) if part and part != self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeover:
    """Everything that a collection would do, feature by feature."""

    steps: tuple[Step, ...]

    @property
    def changes(self) -> tuple[Step, ...]:
        return tuple(step for step in self.steps if step.taking is not Taking.KEEP)

    @property
    def fingerprint(self) -> str:
        """Says the same only while the collection and the rows that it meets are the same."""
        met = [
            (step.number, step.kind, step.taking.value, step.name, step.row and (step.row.pk, step.row.version))
            for step in self.steps
        ]
        drawn = [(step.outline and step.outline.geojson, sorted(step.values.items(), key=str)) for step in self.steps]
        return hashlib.sha256(repr((met, drawn)).encode()).hexdigest()


@transaction.atomic
def take_over(*, group: Group, takeover: Takeover, actor: Account, now: datetime.datetime) -> int:
    """Do every step; returns how many changed something. Raises FeatureRefused for the first that cannot be done.

    Stands come before zones, and whether zones lie outside their stands is asked when all are drawn: the order of the
    features does not matter.
    """
    stands = {
        (stand.site_id, stand.name): stand
        for stand in Stand.objects.of_group(group).select_related("site", "site__group")
    }
    touched: dict[int, Step] = {}
    for step in sorted(takeover.changes, key=lambda step: (step.kind == "zone", step.number)):
        try:
            stand = _do(step, stands, actor, now)
        except StandsError as error:
            raise FeatureRefused(number=step.number, name=step.name, cause=error) from error
        except ValidationError as error:
            raise FeatureRefused(number=step.number, name=step.name, cause=" ".join(error.messages)) from error
        if stand is not None:
            touched.setdefault(stand.pk, step)
    for stand in Stand.objects.filter(pk__in=touched).prefetch_related("zones"):
        try:
            refuse_outside(stand, stand.zones.all())
        except StandsError as error:
            step = touched[stand.pk]
            raise FeatureRefused(number=step.number, name=step.name, cause=error) from error
    return len(takeover.changes)


def rehearse(*, group: Group, takeover: Takeover, actor: Account, now: datetime.datetime) -> None:
    """Do every step and take all of it back. Raises FeatureRefused as take_over would."""
    with transaction.atomic():
        take_over(group=group, takeover=takeover, actor=actor, now=now)
        transaction.set_rollback(True)


def _do(step: Step, stands: dict[tuple[int, str], Stand], actor: Account, now: datetime.datetime) -> Stand | None:
    """One step; returns the stand whose zones may now lie outside it."""
    if isinstance(step.row, Zone):
        change_zone(zone=step.row, version=step.row.version, outline=step.outline, actor=actor, now=now)
        return None
    if isinstance(step.row, Stand):
        put_outline(row=step.row, version=step.row.version, outline=step.outline, actor=actor, now=now)
        return step.row
    if isinstance(step.row, Site):
        put_outline(row=step.row, version=step.row.version, outline=step.outline, actor=actor, now=now)
        return None
    if step.kind == "stand":
        made = record_stand(site=step.site, actor=actor, now=now, **step.values)
        if step.outline is not None:
            made = put_outline(row=made, version=made.version, outline=step.outline, actor=actor, now=now)
        stands[step.site.pk, made.name] = made
        return None
    stand = stands[step.site.pk, step.stand_name]
    record_zone(stand=stand, outline=step.outline, actor=actor, now=now, **step.values)
    return None
