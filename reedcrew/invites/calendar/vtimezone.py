"""The VTIMEZONE of a zone, in the one form that every receiver reads alike: a yearly rule for each half of the year.

A component of RDATE lists, of history since 1970 or with an onset in the new offset is misread by one receiver or
another, by an hour for a whole season. So a zone is written only when two plain yearly rules (or none) describe it;
times in any other zone go out in UTC, which nobody can misread.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

# The rule must hold from two years before the event, so that the whole year before it is covered too, to six years
# after.
YEARS_BEFORE = 2
YEARS_AFTER = 6
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")  # RFC 5545 section 3.3.10, in the order of datetime.weekday()


@dataclass(frozen=True, slots=True, kw_only=True)
class Transition:
    """One change of a zone's offset. ``onset`` is naive local time in the offset before it (RFC 5545 section 3.6.5)."""

    onset: datetime
    offset_from: timedelta
    offset_to: timedelta
    name: str  # the abbreviation from then on


@dataclass(frozen=True, slots=True, kw_only=True)
class YearlyRule:
    """A transition that comes every year on the same weekday of the same month. ``day`` reads as BYDAY: 2SU, -1SU."""

    first: Transition
    month: int
    day: str


@lru_cache(maxsize=256)
def transitions(zone: ZoneInfo, first_year: int, last_year: int) -> tuple[Transition, ...]:
    """Every change of the offset of ``zone`` from the start of ``first_year`` to the end of ``last_year``, UTC.

    Days are compared one by one and a difference is narrowed to the second, so two changes inside one day would show as
    one or none; no zone of the database does that in the years a work day is planned for.
    """
    found = []
    day = datetime(first_year, 1, 1, tzinfo=UTC)
    end = datetime(last_year + 1, 1, 1, tzinfo=UTC)
    offset = _offset(zone, day)
    while day < end:
        next_day = day + timedelta(days=1)
        next_offset = _offset(zone, next_day)
        if next_offset != offset:
            found.append(_narrow(zone, day, next_day))
        day, offset = next_day, next_offset
    return tuple(found)


def _offset(zone: ZoneInfo, moment: datetime) -> timedelta:
    return moment.astimezone(zone).utcoffset() or timedelta()


def _narrow(zone: ZoneInfo, before: datetime, after: datetime) -> Transition:
    old = _offset(zone, before)
    while after - before > timedelta(seconds=1):
        middle = before + (after - before) // timedelta(seconds=2) * timedelta(seconds=1)
        if _offset(zone, middle) == old:
            before = middle
        else:
            after = middle
    local = after.astimezone(zone)
    return Transition(
        onset=(after + old).replace(tzinfo=None),
        offset_from=old,
        offset_to=_offset(zone, after),
        name=local.tzname() or "",
    )


def yearly_rule(changes: Sequence[Transition], first_year: int, last_year: int) -> YearlyRule | None:
    """The rule that all ``changes`` follow, one in each year; None when there is no such rule.

    A rule is the nth or the last of a weekday in one month, always at the same local time and by the same offsets.
    Those are the BYDAY forms that Exchange accepts in a yearly rule (MS-OXCICAL section 2.1.3.1.1.19.2.2).
    """
    if [change.onset.year for change in changes] != list(range(first_year, last_year + 1)):
        return None
    alike = {
        (change.onset.month, change.onset.weekday(), change.onset.time(), change.offset_from, change.offset_to)
        for change in changes
    }
    if len(alike) != 1:
        return None
    weeks = {(change.onset.day - 1) // 7 + 1 for change in changes}
    if len(weeks) == 1:
        week = weeks.pop()
    elif all((change.onset + timedelta(days=7)).month != change.onset.month for change in changes):
        week = -1
    else:
        return None
    first = changes[0]
    return YearlyRule(first=first, month=first.onset.month, day=f"{week}{WEEKDAYS[first.onset.weekday()]}")


def is_utc(zone: ZoneInfo) -> bool:
    """Whether ``zone`` is UTC under one of its names; its times carry Z and no TZID (RFC 5545 section 3.2.19)."""
    return datetime(2000, 1, 1, tzinfo=zone).tzname() == "UTC"


def vtimezone(zone: ZoneInfo, year: int, *, last_year: int | None = None) -> Timezone | None:
    """The VTIMEZONE of ``zone`` for an event in ``year``, or for events from ``year`` to ``last_year``; else None.

    One STANDARD and one DAYLIGHT with a yearly rule each, or one STANDARD for a zone without changes; never an RDATE.
    None means that no such pair describes the zone (or that it is UTC): send the times in UTC and leave TZID out. The
    greater offset is called DAYLIGHT, whatever the law of the country calls it. Raises ValueError for a zone without
    a key. Source: RFC 5545 section 3.6.5; MS-OXCICAL section 2.1.3.1.1.19.2 (one STANDARD, one DAYLIGHT).
    """
    if not zone.key:
        raise ValueError("A time zone needs its name, such as Europe/Berlin.")
    if is_utc(zone):
        return None
    first_year, final_year = year - YEARS_BEFORE, (last_year or year) + YEARS_AFTER
    changes = transitions(zone, first_year, final_year)
    component = Timezone()
    component.add("TZID", zone.key)
    if not changes:
        component.add_component(_fixed(zone, first_year))
        return component
    forward = [change for change in changes if change.offset_to > change.offset_from]
    back = [change for change in changes if change.offset_to < change.offset_from]
    daylight = yearly_rule(forward, first_year, final_year)
    standard = yearly_rule(back, first_year, final_year)
    if daylight is None or standard is None or daylight.first.offset_to != standard.first.offset_from:
        return None
    component.add_component(_half(TimezoneStandard(), standard))
    component.add_component(_half(TimezoneDaylight(), daylight))
    return component


def _half(part: TimezoneStandard | TimezoneDaylight, rule: YearlyRule) -> TimezoneStandard | TimezoneDaylight:
    part.add("DTSTART", rule.first.onset)
    part.add("TZOFFSETFROM", rule.first.offset_from)
    part.add("TZOFFSETTO", rule.first.offset_to)
    part.add("TZNAME", rule.first.name)
    part.add("RRULE", {"FREQ": "YEARLY", "BYMONTH": rule.month, "BYDAY": rule.day})
    return part


def _fixed(zone: ZoneInfo, year: int) -> TimezoneStandard:
    start = datetime(year, 1, 1, tzinfo=zone)
    offset = start.utcoffset() or timedelta()
    part = TimezoneStandard()
    part.add("DTSTART", start.replace(tzinfo=None))
    part.add("TZOFFSETFROM", offset)
    part.add("TZOFFSETTO", offset)
    part.add("TZNAME", start.tzname() or "")
    return part
