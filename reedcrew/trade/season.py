"""The permitted weeks of work at a site: rule 1 of the design, and notices that permit or forbid work.

A day of a site has one verdict. It is CLOSED where nobody may work, by the window or by a notice for the whole site. A
notice for work in water alone leaves the day to dry zones: the verdict is then CAUTION with ``water_closed`` set, and
``state_for(in_water=True)`` is CLOSED. Whoever asks for a day says whether anybody would work in water; unknown counts
as yes.
"""

import calendar
import datetime
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from reedcrew.trade.errors import Faults
from reedcrew.trade.month_day import MonthDay
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.reasons import Reason, reason

__all__ = [
    "Effect",
    "MonthDay",
    "Notice",
    "SeasonRules",
    "SeasonState",
    "SeasonVerdict",
    "Window",
    "contains",
    "default_window",
    "is_permitted",
    "verdict",
]

# General nesting period of migratory birds in Canada: may start mid-March, may last to late August (canada.ca). Work
# inside it asks for a check for nests; the window is never "after nesting". The end is the group's own value
# (``Policy.nest_check_until``), because the period differs by zone and runs later in the north.
NESTING_STARTS = MonthDay(3, 15)
EDGE_DAYS = 7  # the first and the last week of the permitted weeks (design, rule 1)
LEAP_YEAR = 2024  # any leap year: 29 February is a day of some years
YEAR_MIN, YEAR_MAX = 1900, 2199  # of a notice for one year; what an entry can mean (convention)
DAY = datetime.timedelta(days=1)


class SeasonState(StrEnum):
    """What the calendar says to work on a day."""

    OPEN = "open"
    CAUTION = "caution"
    CLOSED = "closed"


class Effect(StrEnum):
    """What a notice does on its days. A permission closes every other day; a prohibition closes its own."""

    PERMITS = "permits"
    FORBIDS = "forbids"


def _check_span(opens: MonthDay, closes: MonthDay) -> None:
    faults = Faults()
    for where, (month, day) in (("opens", opens), ("closes", closes)):
        is_month = 1 <= month <= 12
        faults.unless(is_month, where, f"must have a month from 1 to 12, not {month}")
        days = calendar.monthrange(LEAP_YEAR, month)[1] if is_month else 31
        faults.unless(1 <= day <= days, where, f"must have a day from 1 to {days}, not {day}")
    faults.raise_any()


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The permitted days of every year, both ends included; it wraps the year end where it opens later than it closes.

    ``authority`` is who set it, "" for common practice. Raises UnusableInput for a day that no year has.
    """

    opens: MonthDay
    closes: MonthDay
    authority: str = ""

    def __post_init__(self) -> None:
        _check_span(self.opens, self.closes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """An authority's dates, both ends included, that permit or forbid work. Stored as issued, never guessed.

    ``year`` is None for dates of every year; else the span begins in that year and, where it opens later than it
    closes, ends in the next. A permission of one year closes the other days of the years that it touches and says
    nothing of further years. Several permissions hold together, as several prohibitions do: the most restrictive
    counts. ``until`` is the last day on which the notice holds at all, None until further notice.

    ``advises`` is for a notice that asks for care and stops nothing. ``in_water_only`` leaves work on dry ground out.
    Raises UnusableInput for a day that no year has, or that ``year`` has not.
    """

    effect: Effect
    opens: MonthDay
    closes: MonthDay
    issuer: str
    year: int | None = None
    until: datetime.date | None = None
    advises: bool = False
    in_water_only: bool = False

    def __post_init__(self) -> None:
        _check_span(self.opens, self.closes)
        if self.year is not None:
            faults = Faults()
            faults.range("year", self.year, YEAR_MIN, YEAR_MAX)
            faults.raise_any()
            for where, year, (month, day) in (
                ("opens", self.year, self.opens),
                ("closes", self.last_year or self.year, self.closes),
            ):
                days = calendar.monthrange(year, month)[1]
                faults.unless(day <= days, where, f"must be a day of {year}: that month has {days} days")
            faults.raise_any()

    @property
    def last_year(self) -> int | None:
        """The year in which a notice of one year ends: the next one where its span wraps the year end."""
        if self.year is None:
            return None
        return self.year if self.opens <= self.closes else self.year + 1

    def covers(self, day: datetime.date) -> bool:
        """Whether a day lies between the notice's dates, both included."""
        if self.year is None or self.last_year is None:
            return contains(self.opens, self.closes, day)
        first = datetime.date(self.year, *self.opens)
        return first <= day <= datetime.date(self.last_year, *self.closes)

    def holds_on(self, day: datetime.date) -> bool:
        """Whether the notice says anything of a day."""
        if self.until is not None and day > self.until:
            return False
        if self.year is None or self.last_year is None:
            return True
        return self.year <= day.year <= self.last_year

    def stops(self, day: datetime.date) -> bool:
        """Whether the notice, by its dates alone, speaks against work on a day."""
        return self.holds_on(day) and self.covers(day) is (self.effect is Effect.FORBIDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonVerdict:
    """Whether a day lies in the permitted weeks, and why.

    ``water_closed``: nobody may work in water, though dry zones may be worked unless the state is CLOSED.
    ``authorities`` are those whose word closes the day or its water: an organizer's reason is not enough against them.
    """

    state: SeasonState
    reasons: tuple[Reason, ...]
    water_closed: bool = False
    authorities: tuple[str, ...] = ()

    def state_for(self, *, in_water: bool) -> SeasonState:
        """The state of a day on which people work in water, or on dry ground alone."""
        return SeasonState.CLOSED if in_water and self.water_closed else self.state


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonRules:
    """All that decides the calendar of one site: its window, its notices, and until when nests are looked for."""

    window: Window
    notices: tuple[Notice, ...] = ()
    nest_check_until: MonthDay = DEFAULT_POLICY.nest_check_until

    def verdict(self, day: datetime.date) -> SeasonVerdict:
        """What the calendar says to one day."""
        return next(self.verdicts(day, day))

    def verdicts(self, first: datetime.date, last: datetime.date) -> Iterator[SeasonVerdict]:
        """What the calendar says to each day from ``first`` to ``last``, both included."""
        blocking = cache(lambda day, in_water: _blocking(self.window, day, self.notices, in_water=in_water))
        for step in range((last - first).days + 1):
            yield self._judge(first + step * DAY, blocking)

    def is_permitted(self, day: datetime.date, *, in_water: bool = True) -> bool:
        """Whether nothing closes a day for work in water, or for work on dry ground alone."""
        return is_permitted(self.window, day, self.notices, in_water=in_water)

    def _judge(self, day: datetime.date, blocking: "_Blocking") -> SeasonVerdict:
        found = blocking(day, False)
        if found:
            return SeasonVerdict(
                state=SeasonState.CLOSED,
                reasons=tuple(because for because, _issuer in found),
                water_closed=True,
                authorities=_named(found),
            )
        of_water = blocking(day, True)
        cautions = [because for because, _issuer in of_water]
        week = [step * DAY for step in range(1, EDGE_DAYS + 1)]
        # Where water is closed, the first and the last week are those of dry ground.
        in_water = not of_water
        if any(blocking(day - step, in_water) for step in week):
            cautions.append(reason("season.first_week"))
        if any(blocking(day + step, in_water) for step in week):
            cautions.append(reason("season.last_week"))
        if contains(NESTING_STARTS, self.nest_check_until, day):
            cautions.append(reason("season.nesting", until=self.nest_check_until))
        cautions.extend(
            _because(notice, "season.advice_against" if notice.effect is Effect.FORBIDS else "season.advice_only")
            for notice in self.notices
            if notice.advises and notice.stops(day)
        )
        if cautions:
            return SeasonVerdict(
                state=SeasonState.CAUTION,
                reasons=tuple(cautions),
                water_closed=bool(of_water),
                authorities=_named(of_water),
            )
        opens, closes = self.window.opens, self.window.closes
        return SeasonVerdict(state=SeasonState.OPEN, reasons=(reason("season.open", opens=opens, closes=closes),))


def default_window(policy: Policy) -> Window:
    """The group's window (rule 1, common practice, no source): 15 July to 15 October unless the group changed it."""
    return Window(opens=policy.window_opens, closes=policy.window_closes)


def contains(opens: MonthDay, closes: MonthDay, day: datetime.date) -> bool:
    """Whether a day lies between two days of the year, both included; the span wraps the year end if it must."""
    this = MonthDay(day.month, day.day)
    if opens <= closes:
        return opens <= this <= closes
    return this >= opens or this <= closes


# Why a day is closed, each with who closed it: "" for common practice.
_Cause = tuple[Reason, str]
_Blocking = Callable[[datetime.date, bool], tuple[_Cause, ...]]


def _blocking(window: Window, day: datetime.date, notices: Sequence[Notice], *, in_water: bool) -> tuple[_Cause, ...]:
    found: list[_Cause] = []
    if not contains(window.opens, window.closes, day):
        span = {"opens": window.opens, "closes": window.closes}
        because = (
            reason("season.outside_by", **span, authority=window.authority)
            if window.authority
            else reason("season.outside", **span)
        )
        found.append((because, window.authority))
    for notice in notices:
        if notice.advises or (notice.in_water_only and not in_water) or not notice.stops(day):
            continue
        code = "season.forbidden" if notice.effect is Effect.FORBIDS else "season.not_permitted"
        found.append((_because(notice, f"{code}_in_water" if notice.in_water_only else code), notice.issuer))
    return tuple(found)


def _because(notice: Notice, code: str) -> Reason:
    if notice.year is None or notice.last_year is None:
        return reason(code, opens=notice.opens, closes=notice.closes, issuer=notice.issuer)
    opens, closes = datetime.date(notice.year, *notice.opens), datetime.date(notice.last_year, *notice.closes)
    return reason(code, opens=opens, closes=closes, issuer=notice.issuer)


def _named(causes: Sequence[_Cause]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(issuer for _because, issuer in causes if issuer))


def is_permitted(window: Window, day: datetime.date, notices: Sequence[Notice] = (), *, in_water: bool = True) -> bool:
    """Whether a day is inside the window, inside every permission and outside every prohibition.

    ``in_water=False`` leaves out what closes the water alone. Notices that advise close nothing.
    """
    return not _blocking(window, day, notices, in_water=in_water)


def verdict(
    window: Window,
    day: datetime.date,
    notices: Sequence[Notice] = (),
    nest_check_until: MonthDay = DEFAULT_POLICY.nest_check_until,
) -> SeasonVerdict:
    """What the calendar says to a work day (rule 1).

    CLOSED outside the permitted days, with every cause. CAUTION where the water alone is closed, in the first and the
    last week of a run of permitted days, from mid-March until ``nest_check_until``, while birds may nest (general
    nesting period, canada.ca), and where a notice advises against the day. Else OPEN.
    """
    return SeasonRules(window=window, notices=tuple(notices), nest_check_until=nest_check_until).verdict(day)
