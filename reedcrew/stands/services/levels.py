"""Gauge levels of a site, which decide the depth of its zones."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import LevelImplausible, LevelRowUnfit, NoGaugeThen, ReadAlready, ReadingInFuture
from reedcrew.stands.models import Gauge, Site, Stand, WaterLevel
from reedcrew.stands.queries import LevelRow, gauge_on, level_problems, new_rows, too_deep, zones_of_gauge
from reedcrew.stands.services.moves import zones_told
from reedcrew.stands.services.rows import locked

ROWS_MAX = 20_000  # of one lot: more than a year of readings twice an hour


@transaction.atomic
def record_water_level(
    *, site: Site, level_cm: int, read_at: datetime.datetime, actor: Account, now: datetime.datetime
) -> WaterLevel:
    """Keep a reading of a site's gauge, in cm above the gauge's zero, at an aware moment.

    The reading belongs to the gauge that the site had on that day. The same level at the same moment again returns the
    first record. Raises NoGaugeThen, ReadAlready for another level at a moment that has one, ReadingInFuture,
    LevelImplausible, RemovedMeanwhile for the site, and ValidationError for a level beyond ±10 000 cm.
    """
    row = locked(site)
    if read_at > now:
        raise ReadingInFuture
    read_on = read_at.astimezone(site.zone_info).date()
    gauge = gauge_on(row, read_on)
    if gauge is None:
        raise NoGaugeThen(field="read_at", day=read_on)
    earlier = gauge.levels.filter(read_at=read_at).first()
    if earlier is not None:
        if earlier.level_cm != level_cm:
            raise ReadAlready(level_cm=earlier.level_cm)
        return earlier
    level = WaterLevel(gauge=gauge, level_cm=level_cm, read_at=read_at, read_by=actor)
    level.full_clean()
    zones = zones_of_gauge(gauge)
    if case := too_deep(zones, level_cm):
        raise LevelImplausible(field="level_cm", level_cm=level_cm, name=case[0].name, depth_cm=case[1])
    with zones_told(_stands({zone.stand_id for zone in zones}), now):
        level.save()
    record(
        group=site.group,
        actor=actor,
        at=now,
        deed="water level recorded",
        subject=row,
        level_cm=level_cm,
        read_at=read_at.isoformat(),
    )
    return level


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptLevels:
    """What became of a lot of readings: how many are new, and how many were kept already or came twice."""

    new: int
    known: int


@transaction.atomic
def record_levels(*, gauge: Gauge, rows: Sequence[LevelRow], actor: Account, now: datetime.datetime) -> KeptLevels:
    """Keep a lot of readings of one gauge, all or none, with a number of queries that does not grow with them.

    Readings that are kept already do no harm. Raises LevelRowUnfit, which names row and column, for the first row that
    cannot be kept (all of them: ``queries.level_problems``); ValueError for more than 20 000 rows; RemovedMeanwhile.
    """
    if len(rows) > ROWS_MAX:
        raise ValueError(f"at most {ROWS_MAX} rows at once, not {len(rows)}")
    site = gauge.site
    locked(site)
    row = locked(gauge)
    row.site = site
    if problems := level_problems(row, rows, now):
        raise LevelRowUnfit(problem=problems[0], count=len(problems))
    fresh = new_rows(row, rows)
    with zones_told(_stands({zone.stand_id for zone in zones_of_gauge(row)} if fresh else set()), now):
        WaterLevel.objects.bulk_create(
            WaterLevel(gauge=row, level_cm=each.level_cm, read_at=each.read_at, read_by=actor) for each in fresh
        )
    if fresh:
        record(group=site.group, actor=actor, at=now, deed="water levels recorded", subject=row, count=len(fresh))
    return KeptLevels(new=len(fresh), known=len(rows) - len(fresh))


def _stands(keys: set[int]) -> list[Stand]:
    return list(Stand.objects.filter(pk__in=keys).select_related("site__group").order_by("pk"))
