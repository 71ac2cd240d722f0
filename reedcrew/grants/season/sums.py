"""Hours, people and stems of a group by week and by year, imported earlier seasons marked as such."""

import dataclasses
import datetime
import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet, Sum
from django.db.models.functions import ExtractYear

from reedcrew.fieldbook.models import Tally
from reedcrew.grants.models import EarlierBatch, EarlierLine, HourEntry
from reedcrew.people.models import Group
from reedcrew.trade.effort import together
from reedcrew.trade.valuation import Kind
from reedcrew.workdays.models import WorkDay

DAY = datetime.timedelta(days=1)
SUNDAY = 6  # days after Monday

CutStems = tuple[int, int | None, int | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """The work of some days in a row, both ends included. Minutes are raw; ``other`` are travel and preparation.

    ``days`` are closed work days, of which ``untallied`` have no tally: what they cut is unknown, not 0. ``earlier``
    minutes and stems come from imported earlier seasons and are in no other number here; ``people`` counts everyone.
    """

    first: datetime.date
    last: datetime.date
    days: int
    untallied: int
    people: int
    field: int
    other: int
    stems: int
    low: int
    high: int
    earlier: int
    earlier_stems: int

    @property
    def minutes(self) -> int:
        """Everything, imported too."""
        return self.field + self.other + self.earlier

    @property
    def hours(self) -> float:
        return self.minutes / 60

    @property
    def all_stems(self) -> int:
        return self.stems + self.earlier_stems

    @property
    def all_low(self) -> int:
        """Lower 95 % limit of all stems; imported numbers come without an interval."""
        return self.low + self.earlier_stems

    @property
    def all_high(self) -> int:
        """Upper 95 % limit of all stems."""
        return self.high + self.earlier_stems


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSums:
    """One year by weeks, and every year that has work. ``weeks`` run from the first to the last with work."""

    year: int
    whole: Stretch
    weeks: tuple[Stretch, ...]
    years: tuple[Stretch, ...]

    @property
    def busy_weeks(self) -> tuple[Stretch, ...]:
        """Weeks in which somebody worked."""
        return tuple(each for each in self.weeks if each.days or each.minutes or each.all_stems)

    @property
    def has_earlier(self) -> bool:
        return any(each.earlier or each.earlier_stems for each in self.years)


def season_sums(group: Group, *, year: int | None, today: datetime.date) -> SeasonSums:
    """The sums of a year, or else of the latest one up to today's that has work. Eight queries.

    A week belongs to the year as far as its days do: weeks of one year add up to the year.
    """
    work = _work_of(group)
    known = sorted({date.year for date in work.dates()})
    chosen = year or max((each for each in known if each <= today.year), default=today.year)
    by_year = _people(group, None)
    by_date = _people(group, chosen)
    years = tuple(work.stretch(*_year(each), by_year.get(each, set())) for each in known)
    return SeasonSums(
        year=chosen,
        whole=work.stretch(*_year(chosen), by_year.get(chosen, set())),
        weeks=tuple(work.stretch(first, last, _during(by_date, first, last)) for first, last in _weeks(work, chosen)),
        years=years,
    )


def earlier_lines(group: Group) -> QuerySet[EarlierLine]:
    """What stands of imported earlier seasons."""
    return EarlierLine.objects.of_group(group).filter(batch__state=EarlierBatch.State.IMPORTED)


# --- Private ---------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Work:
    """Everything by date."""

    days: dict[datetime.date, list[int]] = dataclasses.field(default_factory=dict)
    cut: dict[int, list[CutStems]] = dataclasses.field(default_factory=dict)
    field: dict[datetime.date, int] = dataclasses.field(default_factory=dict)
    other: dict[datetime.date, int] = dataclasses.field(default_factory=dict)
    earlier: dict[datetime.date, int] = dataclasses.field(default_factory=dict)
    earlier_stems: dict[datetime.date, int] = dataclasses.field(default_factory=dict)

    def dates(self) -> Iterator[datetime.date]:
        return itertools.chain(self.days, self.field, self.other, self.earlier)

    def stretch(self, first: datetime.date, last: datetime.date, people: set[str]) -> Stretch:
        days = [key for date in self.days if first <= date <= last for key in self.days[date]]
        stems, low, high = together([cut for key in days for cut in self.cut.get(key, ())])

        def sum_of(minutes: Mapping[datetime.date, int]) -> int:
            return sum(minutes[date] for date in minutes if first <= date <= last)

        return Stretch(
            first=first,
            last=last,
            days=len(days),
            untallied=sum(key not in self.cut for key in days),
            people=len(people),
            field=sum_of(self.field),
            other=sum_of(self.other),
            stems=stems,
            low=low,
            high=high,
            earlier=sum_of(self.earlier),
            earlier_stems=sum_of(self.earlier_stems),
        )


def _work_of(group: Group) -> _Work:
    work = _Work()
    closed = WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED)
    for key, date in closed.order_by("date", "pk").values_list("pk", "date"):
        work.days.setdefault(date, []).append(key)
    tallies = Tally.objects.standing().filter(day__in=closed.order_by().values("pk")).order_by("day", "pk")
    for key, stems, low, high in tallies.values_list("day", "stems", "stems_low", "stems_high"):
        work.cut.setdefault(key, []).append((stems, low, high))
    entries = HourEntry.objects.of_group(group).standing().filter(minutes__gt=0)
    for date, kind, minutes in entries.order_by("date").values_list("date", "kind").annotate(minutes=Sum("minutes")):
        sums = work.field if kind == Kind.FIELD.value else work.other
        sums[date] = sums.get(date, 0) + minutes
    lines = earlier_lines(group).order_by("date").values_list("date")
    for date, minutes, stems in lines.annotate(minutes=Sum("minutes"), stems=Sum("stems")):
        work.earlier[date], work.earlier_stems[date] = minutes, stems or 0
    return work


def _people(group: Group, year: int | None) -> dict[Any, set[str]]:
    """Codes of people who worked, by date of one year or else by year. Two queries."""
    found: dict[Any, set[str]] = {}
    sources: list[tuple[QuerySet[Any], str]] = [
        (HourEntry.objects.of_group(group).standing().filter(minutes__gt=0), "member__code"),
        (earlier_lines(group), "code"),
    ]
    for rows, code in sources:
        if year is None:
            pairs = rows.order_by().values_list(ExtractYear("date"), code).distinct()
        else:
            pairs = rows.order_by().filter(date__range=_year(year)).values_list("date", code).distinct()
        for when, who in pairs:
            found.setdefault(when, set()).add(who)
    return found


def _during(by_date: Mapping[datetime.date, set[str]], first: datetime.date, last: datetime.date) -> set[str]:
    return set().union(*(people for date, people in by_date.items() if first <= date <= last))


def _year(year: int) -> tuple[datetime.date, datetime.date]:
    return datetime.date(year, 1, 1), datetime.date(year, 12, 31)


def _weeks(work: _Work, year: int) -> Iterable[tuple[datetime.date, datetime.date]]:
    """Weeks from Monday to Sunday, cut at the ends of the year, from the first to the last with work."""
    first, last = _year(year)
    dates = sorted(date for date in work.dates() if first <= date <= last)
    if not dates:
        return
    monday = dates[0] - dates[0].weekday() * DAY
    while monday <= dates[-1]:
        yield max(monday, first), min(monday + SUNDAY * DAY, last)
        monday += 7 * DAY
