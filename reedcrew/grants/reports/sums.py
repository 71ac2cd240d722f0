"""The lines of a report added up: in all, by person, stand and kind, role and rate, and day.

Lines are read as plain tuples and added up as they pass, so that neither time nor memory is spent on objects.
"""

import datetime
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Count, QuerySet

from reedcrew.grants.models import KINDS, ROLES, HourEntry
from reedcrew.grants.reports.pricing import NO_RATE, Pricing, money
from reedcrew.grants.reports.records import Hours, HoursLine, PersonLine, ValueLine
from reedcrew.grants.reports.scope import Scope
from reedcrew.stands.models import Stand

CHUNK = 2_000  # lines that are in memory at once
KIND_WORDS: Mapping[str, Any] = dict(KINDS)
ROLE_WORDS: Mapping[str, Any] = dict(ROLES)


class Adder:
    """Adds lines up: entries, raw minutes, counted minutes, hundredths of value, counted minutes without a rate."""

    __slots__ = ("cents", "counted", "entries", "minutes", "unvalued")

    def __init__(self) -> None:
        self.entries = self.minutes = self.counted = self.cents = self.unvalued = 0

    def add(self, minutes: int, counted: int, cents: int, unvalued: int) -> None:
        self.entries += 1
        self.minutes += minutes
        self.counted += counted
        self.cents += cents
        self.unvalued += unvalued

    @property
    def hours(self) -> Hours:
        return Hours(
            entries=self.entries,
            minutes=self.minutes,
            counted=self.counted,
            value=money(self.cents),
            unvalued=self.unvalued,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerSums:
    """Everything that is added up from the lines of a report."""

    hours: Hours
    people: tuple[PersonLine, ...]
    by_kind: tuple[HoursLine, ...]
    by_role: tuple[ValueLine, ...]
    by_day: Mapping[int, Hours]
    people_by_day: Mapping[int, int]


def ledger_sums(scope: Scope, stands: Mapping[int, Stand], pricing: Pricing) -> LedgerSums:
    """Add up the lines of a report. ``stands`` are all that the lines can be of, with their sites. Five queries."""
    total = Adder()
    by_member: defaultdict[int, Adder] = defaultdict(Adder)
    by_kind: defaultdict[tuple[int, str], Adder] = defaultdict(Adder)
    by_role: defaultdict[tuple[str, int], Adder] = defaultdict(Adder)
    by_day: defaultdict[int, Adder] = defaultdict(Adder)
    zones = {key: stand.site.zone_info for key, stand in stands.items()}
    for day, date, stand, member, kind, role, minutes, *times in _lines(scope, pricing):
        counted = _counted(pricing, times, zones[stand]) if times else minutes
        rate = pricing.rate(role, date)
        line = minutes, counted, pricing.cents(counted, rate), counted if rate == NO_RATE else 0
        by_member[member].add(*line)
        by_kind[stand, kind].add(*line)
        by_role[role, rate].add(*line)
        by_day[day].add(*line)
        total.add(*line)
    present = scope.entries().filter(minutes__gt=0).order_by()
    counts = present.values("stand", "kind").annotate(
        people=Count("member", distinct=True), days=Count("day", distinct=True)
    )
    return LedgerSums(
        hours=total.hours,
        people=_people(scope, present, by_member),
        by_kind=_by_kind(by_kind, stands, {(each["stand"], each["kind"]): each for each in counts}),
        by_role=_by_role(by_role, pricing),
        by_day={key: adder.hours for key, adder in by_day.items()},
        people_by_day=dict(present.values_list("day").annotate(Count("member", distinct=True))),
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _lines(scope: Scope, pricing: Pricing) -> Any:
    columns = ["day", "date", "stand", "member", "kind", "role", "minutes"]
    if pricing.needs_times:
        columns += ["started_at", "ended_at"]
    return scope.entries().order_by().values_list(*columns).iterator(chunk_size=CHUNK)


def _counted(pricing: Pricing, times: list[datetime.datetime], zone: ZoneInfo) -> int:
    return pricing.counted(times[0], times[1], zone)


def _people(scope: Scope, present: QuerySet[HourEntry], sums: Mapping[int, Adder]) -> tuple[PersonLine, ...]:
    rows = present.values_list("member", "member__code", "member__name").annotate(Count("day", distinct=True))
    named = scope.grant.names_required
    return tuple(
        PersonLine(code=code, name=name if named else "", days=days, hours=sums[key].hours)
        for key, code, name, days in rows.order_by("member__code", "member")
    )


def _by_kind(
    sums: Mapping[tuple[int, str], Adder],
    stands: Mapping[int, Stand],
    counts: Mapping[tuple[int, str], Mapping[str, int]],
) -> tuple[HoursLine, ...]:
    nobody = {"people": 0, "days": 0}
    lines = [
        HoursLine(
            kind=kind,
            kind_word=str(KIND_WORDS[kind]),
            stand_id=stand,
            stand=stands[stand].name,
            site=stands[stand].site.name,
            people=counts.get((stand, kind), nobody)["people"],
            days=counts.get((stand, kind), nobody)["days"],
            hours=adder.hours,
        )
        for (stand, kind), adder in sums.items()
    ]
    order = list(KIND_WORDS)
    return tuple(sorted(lines, key=lambda line: (line.site, line.stand, line.stand_id, order.index(line.kind))))


def _by_role(sums: Mapping[tuple[str, int], Adder], pricing: Pricing) -> tuple[ValueLine, ...]:
    lines = []
    for (role, number), adder in sums.items():
        rate = None if number == NO_RATE else pricing.rates[number]
        lines.append(
            ValueLine(
                role=role,
                role_word=str(ROLE_WORDS[role]),
                hourly=rate.hourly if rate else None,
                fringe_percent=rate.fringe_percent if rate else None,
                since=rate.since if rate else None,
                source=rate.source if rate else "",
                source_date=rate.source_date if rate else None,
                hours=adder.hours,
            )
        )
    order = list(ROLE_WORDS)
    earliest = datetime.date.min
    return tuple(sorted(lines, key=lambda line: (order.index(line.role), line.since or earliest)))
