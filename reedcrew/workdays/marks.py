"""Marks of days whose water or calendar changed: everything that sets them, and an organizer's look that ends them."""

import datetime
from collections.abc import Iterable, Mapping, Sequence

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.models import Site, Stand
from reedcrew.stands.queries import depths_today
from reedcrew.trade.moves import ZoneState, what_changes
from reedcrew.trade.reasons import Reason, as_record, reason
from reedcrew.trade.season import SeasonRules, SeasonState
from reedcrew.workdays.models import DayMark, WorkDay


@transaction.atomic
def mark_day(*, day: WorkDay, code: DayMark.Code, reasons: Sequence[Reason], now: datetime.datetime) -> DayMark | None:
    """Mark a posted day for planning again, with the reasons; those that an open mark has already are not repeated.

    None without a reason. The mark stays until an organizer has looked at it, whatever is planned meanwhile.
    """
    if not reasons:
        return None
    locked = WorkDay.objects.held(day.pk)
    mark, _created = DayMark.objects.get_or_create(
        day=locked, code=code, seen_at=None, defaults={"since": now, "changed_at": now}
    )
    added = [as_record(each) for each in reasons]
    if mark.reasons[-len(added) :] == added:
        return mark
    mark.reasons = [*mark.reasons, *added]
    mark.changed_at = now
    mark.save(update_fields=["reasons", "changed_at"])
    return mark


@transaction.atomic
def see_mark(*, mark: DayMark, actor: Account, now: datetime.datetime) -> DayMark:
    """Keep who has looked at a mark and when; a second press keeps the first. What comes later makes a new mark."""
    row = DayMark.objects.select_for_update(no_key=True, of=("self",)).with_day().get(pk=mark.pk)
    if row.seen_at is None:
        row.seen_at, row.seen_by = now, actor
        row.save(update_fields=["seen_at", "seen_by"])
        record(group=row.day.group, actor=actor, at=now, deed="mark seen", subject=row.day, code=row.code)
    return row


def mark_moved_zones(
    *, stand: Stand, before: Mapping[int, ZoneState], after: Mapping[int, ZoneState], now: datetime.datetime
) -> None:
    """Mark each day to come on a zone whose method, gear or openness changed. Zones of days are never removed."""
    moved = {
        key: changes for key, state in after.items() if key in before and (changes := what_changes(before[key], state))
    }
    if not moved:
        return
    days = WorkDay.objects.upcoming(now).filter(stand=stand, zones__in=moved).distinct()
    for day in days.prefetch_related("zones"):
        reasons = _flat(moved[zone.pk] for zone in day.zones.all() if zone.pk in moved)
        mark_day(day=day, code=DayMark.Code.WATER, reasons=reasons, now=now)


def mark_season(*, site: Site, before: SeasonRules, after: SeasonRules, now: datetime.datetime) -> None:
    """Mark each day to come at a site that its calendar now closes, to all work or to work in water."""
    for day in WorkDay.objects.upcoming(now).filter(stand__site=site).with_stand():
        was, is_now = before.verdict(day.date), after.verdict(day.date)
        in_water = works_in_water(day, now)
        closed = SeasonState.CLOSED
        newly = was.state_for(in_water=in_water) is not closed or set(is_now.authorities) - set(was.authorities)
        if is_now.state_for(in_water=in_water) is not closed or not newly:
            continue
        if is_now.state is closed:
            reasons = (reason("moves.season_closed"), *is_now.reasons)
        else:
            causes = [each for each in is_now.reasons if each.code.endswith("_in_water")]
            reasons = (reason("moves.season_water_closed"), *causes)
        mark_day(day=day, code=DayMark.Code.SEASON, reasons=reasons, now=now)


def works_in_water(day: WorkDay, now: datetime.datetime) -> bool:
    """Whether a day has places in water, or a zone that is not dry at its depth now."""
    if day.water_places:
        return True
    zones = set(day.zones.values_list("pk", flat=True))
    return any(known.depth_cm > 0 for known in depths_today(day.stand, now) if known.zone.pk in zones)


def _flat(groups: Iterable[Sequence[Reason]]) -> list[Reason]:
    return [each for group in groups for each in group]
