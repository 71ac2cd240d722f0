"""Gauge levels of a site, which decide the depth of its zones."""

import datetime

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import LevelImplausible, ReadAlready, ReadingInFuture
from reedcrew.stands.models import Site, Stand, WaterLevel, Zone
from reedcrew.stands.services.rows import locked
from reedcrew.stands.signals import zone_changed
from reedcrew.trade.water import DEPTH_CM_MAX, depth_today


@transaction.atomic
def record_water_level(
    *, site: Site, level_cm: int, read_at: datetime.datetime, actor: Account, now: datetime.datetime
) -> WaterLevel:
    """Keep a reading of a site's gauge, in cm above the gauge's zero, at an aware moment.

    The same level at the same moment again returns the first record. Raises ReadAlready for another level at a moment
    that has one, ReadingInFuture, LevelImplausible, RemovedMeanwhile for the site, and ValidationError for a level
    beyond ±10 000 cm.
    """
    row = locked(site)
    if read_at > now:
        raise ReadingInFuture
    earlier = row.water_levels.filter(read_at=read_at).first()
    if earlier is not None:
        if earlier.level_cm != level_cm:
            raise ReadAlready(level_cm=earlier.level_cm)
        return earlier
    level = WaterLevel(site=row, level_cm=level_cm, read_at=read_at, read_by=actor)
    level.full_clean()
    zones = list(Zone.objects.filter(stand__site=row, gauge_cm__isnull=False))
    _refuse_implausible(zones, level_cm)
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
    for stand in Stand.objects.filter(pk__in={zone.stand_id for zone in zones}).order_by("pk"):
        zone_changed.send(WaterLevel, stand=stand, now=now)
    return level


def _refuse_implausible(zones: list[Zone], level_cm: int) -> None:
    for zone in zones:
        depth_cm = depth_today(zone.depth_cm, zone.gauge_cm, level_cm).depth_cm
        if depth_cm > DEPTH_CM_MAX:
            raise LevelImplausible(field="level_cm", level_cm=level_cm, name=zone.name, depth_cm=depth_cm)
