"""Zones: parts of a stand that are worked in one way."""

import datetime
from decimal import Decimal
from typing import Any, cast

from django.db import models, transaction
from django.utils.functional import Promise

from reedcrew.people.audit import record
from reedcrew.people.models import Account, AuditEntry
from reedcrew.stands.errors import (
    DryZoneHasDepth,
    LevelImplausible,
    NoGaugeThen,
    SurveyInFuture,
    ZoneInUse,
    ZoneNameTaken,
)
from reedcrew.stands.models import Stand, Zone
from reedcrew.stands.queries import ZONE_REMOVED, gauge_on, highest_level, too_deep
from reedcrew.stands.services.moves import zones_told
from reedcrew.stands.services.outlines import outline_values, refuse_outside
from reedcrew.stands.services.rows import locked, save_checked, set_values
from reedcrew.trade.outline import Outline

# What a zone says of itself, beside its stand: all of it comes back when its removal is taken back.
KEPT_OF_A_ZONE = tuple(field for field in Zone._meta.concrete_fields if not field.primary_key and not field.is_relation)


@transaction.atomic
def record_zone(
    *, stand: Stand, actor: Account, now: datetime.datetime, outline: Outline | None = None, **values: Any
) -> Zone:
    """Add a zone to a stand. ``values`` are fields of Zone; the outline decides the area.

    Raises ZoneNameTaken, DryZoneHasDepth, SurveyInFuture, NoGaugeThen for a gauge level on a day without a gauge,
    LevelImplausible, DrawnOutside, RemovedMeanwhile for the stand, and ValidationError for a value that the model
    refuses.
    """
    locked(stand.site)
    around = locked(stand)
    zone = Zone(stand=stand, **values, **outline_values(outline))
    _add(zone, stand, around, now)
    record(group=stand.site.group, actor=actor, at=now, deed="zone recorded", subject=zone, name=zone.name)
    return zone


@transaction.atomic
def change_zone(
    *,
    zone: Zone,
    version: int,
    actor: Account,
    now: datetime.datetime,
    outline: Outline | None,
    **values: Any,
) -> Zone:
    """Change some fields of a zone and its outline. ``version`` is that of the zone as the actor saw it.

    Raises ChangedMeanwhile and what record_zone raises.
    """
    stand = zone.stand
    locked(stand.site)
    row = locked(zone)
    if changes := set_values(row, version, {**values, **outline_values(outline)}):
        _judge(row, now)
        if {"gauge_cm", "surveyed_on"} & set(changes):
            _ask_gauge(row)
        with zones_told([stand], now):
            save_checked(row, ZoneNameTaken)
            _refuse_implausible(row)
            if "outline" in changes:
                refuse_outside(row.stand, [row])
        record(group=stand.site.group, actor=actor, at=now, deed="zone changed", subject=row, changes=changes)
    return row


@transaction.atomic
def remove_zone(*, zone: Zone, actor: Account, now: datetime.datetime) -> None:
    """Remove a zone that nothing rests on. The record of deeds keeps what it was: put_back_zone brings it back.

    Raises ZoneInUse, which names what rests on it, and RemovedMeanwhile.
    """
    stand = zone.stand
    row = locked(zone)
    if uses := uses_of(row):
        raise ZoneInUse(name=row.name, uses=", ".join(str(use) for use in uses))
    record(
        group=stand.site.group,
        actor=actor,
        at=now,
        deed=ZONE_REMOVED,
        subject=row,
        name=row.name,
        stand=stand.pk,
        was={field.name: _plain(getattr(row, field.name)) for field in KEPT_OF_A_ZONE},
    )
    with zones_told([stand], now):
        row.delete()


@transaction.atomic
def put_back_zone(*, stand: Stand, removal: AuditEntry, actor: Account, now: datetime.datetime) -> Zone:
    """Bring a removed zone of this stand back as it was, under its own key. Back already: that zone, unchanged.

    ``removal`` is an entry of queries.removed_zones. Raises what record_zone raises: its name may be taken by now.
    """
    locked(stand.site)
    around = locked(stand)
    key = int(removal.subject.rpartition(":")[2])
    if there := stand.zones.filter(pk=key).first():
        return there
    was = removal.detail["was"]
    values = {field.name: field.to_python(was[field.name]) for field in KEPT_OF_A_ZONE}
    zone = Zone(pk=key, stand=stand, **values)
    _add(zone, stand, around, now)
    record(group=stand.site.group, actor=actor, at=now, deed="zone put back", subject=zone, name=zone.name)
    return zone


def measure_depth(
    *,
    row: Zone,
    depth_cm: int,
    surveyed_on: datetime.date,
    gauge_cm: int | None,
    actor: Account,
    now: datetime.datetime,
) -> bool:
    """Give a locked zone the depth that a survey measured in it; returns whether anything changed.

    Call it inside the survey's transaction and its zones_told. Raises DryZoneHasDepth, SurveyInFuture, NoGaugeThen,
    LevelImplausible.
    """
    values = {"depth_cm": depth_cm, "surveyed_on": surveyed_on, "gauge_cm": gauge_cm}
    changes = set_values(row, row.version, values)
    if not changes:
        return False
    _judge(row, now)
    _ask_gauge(row)
    _refuse_implausible(row)
    row.save(update_fields=[*values, "version"])
    record(group=row.stand.site.group, actor=actor, at=now, deed="zone changed", subject=row, changes=changes)
    return True


def uses_of(zone: Zone) -> list[str | Promise]:
    """Names of the kinds of record that rest on a zone, such as work days; empty when it may be removed.

    Other apps point at zones and are not known here: every relation to Zone is asked.
    """
    found: list[str | Promise] = []
    for relation in Zone._meta.related_objects:
        model = cast(type[models.Model], relation.related_model)
        name = model._meta.verbose_name_plural or model.__name__
        if model._default_manager.filter(**{relation.field.name: zone}).exists() and name not in found:
            found.append(name)
    return found


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, datetime.date | Decimal) else value


def _add(zone: Zone, stand: Stand, around: Stand, now: datetime.datetime) -> None:
    """Judge and keep a zone that is not there, and tell the days of its stand; ``around`` is the stand, locked."""
    _judge(zone, now)
    _ask_gauge(zone)
    with zones_told([stand], now):
        save_checked(zone, ZoneNameTaken)
        _refuse_implausible(zone)
        refuse_outside(around, [zone])


def _judge(zone: Zone, now: datetime.datetime) -> None:
    if zone.bed == Zone.Bed.DRY and zone.depth_cm:
        raise DryZoneHasDepth
    today = now.astimezone(zone.stand.site.zone_info).date()
    if zone.surveyed_on > today:
        raise SurveyInFuture(today=today)


def _ask_gauge(zone: Zone) -> None:
    """A level counts from the zero of a gauge: one must be known for the day on which it was read."""
    if zone.gauge_cm is not None and gauge_on(zone.stand.site, zone.surveyed_on) is None:
        raise NoGaugeThen(field="gauge_cm", day=zone.surveyed_on)


def _refuse_implausible(zone: Zone) -> None:
    """Keep every depth that a recorded gauge level gives within what the rules of the trade can judge."""
    gauge = gauge_on(zone.stand.site, zone.surveyed_on)
    if zone.gauge_cm is None or gauge is None:
        return
    highest = highest_level(gauge)
    if highest is not None and (case := too_deep([zone], highest)):
        raise LevelImplausible(field="gauge_cm", level_cm=highest, name=zone.name, depth_cm=case[1])
