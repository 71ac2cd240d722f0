"""The permitted weeks of work at a site: rule 1 of the design, and notices that permit or forbid work."""

import calendar
import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.errors import Faults
from reedcrew.trade.month_day import MonthDay
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

__all__ = [
    "Effect",
    "MonthDay",
    "Notice",
    "SeasonState",
    "SeasonVerdict",
    "Window",
    "contains",
    "default_window",
    "is_permitted",
    "verdict",
]

# General nesting period of migratory birds in Canada: may start mid-March, may last to late August (canada.ca). Work
# inside it asks for a check for nests; the window is never "after nesting".
NESTING_STARTS, NESTING_ENDS = MonthDay(3, 15), MonthDay(8, 31)
EDGE_DAYS = 7  # the first and the last week of the permitted weeks (design, rule 1)
LEAP_YEAR = 2024  # any leap year: 29 February is a day of some years


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
    """An authority's yearly dates, both ends included, that permit or forbid work. Stored as issued, never guessed.

    Raises UnusableInput for a day that no year has.
    """

    effect: Effect
    opens: MonthDay
    closes: MonthDay
    issuer: str

    def __post_init__(self) -> None:
        _check_span(self.opens, self.closes)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonVerdict:
    """Whether a day lies in the permitted weeks, and why.

    CLOSED is a "no" that an organizer may answer with a reason.
    """

    state: SeasonState
    reasons: tuple[Reason, ...]


def default_window(policy: Policy) -> Window:
    """The group's window (rule 1, common practice, no source): 15 July to 15 October unless the group changed it."""
    return Window(opens=policy.window_opens, closes=policy.window_closes)


def contains(opens: MonthDay, closes: MonthDay, day: datetime.date) -> bool:
    """Whether a day lies between two days of the year, both included; the span wraps the year end if it must."""
    this = MonthDay(day.month, day.day)
    if opens <= closes:
        return opens <= this <= closes
    return this >= opens or this <= closes


def _blocking(window: Window, day: datetime.date, notices: Sequence[Notice]) -> tuple[Reason, ...]:
    found = []
    if not contains(window.opens, window.closes, day):
        found.append(
            reason("season.outside", opens=_text(window.opens), closes=_text(window.closes))
            if not window.authority
            else reason(
                "season.outside_by", opens=_text(window.opens), closes=_text(window.closes), authority=window.authority
            )
        )
    for notice in notices:
        inside = contains(notice.opens, notice.closes, day)
        span = {"opens": _text(notice.opens), "closes": _text(notice.closes), "issuer": notice.issuer}
        if notice.effect is Effect.FORBIDS and inside:
            found.append(reason("season.forbidden", **span))
        if notice.effect is Effect.PERMITS and not inside:
            found.append(reason("season.not_permitted", **span))
    return tuple(found)


def _text(day: MonthDay) -> str:
    # Month and day as in ISO 8601, which no language reorders.
    return f"{day.day} {calendar.month_name[day.month]}"


def is_permitted(window: Window, day: datetime.date, notices: Sequence[Notice] = ()) -> bool:
    """Whether a day is inside the window, inside every permission and outside every prohibition."""
    return not _blocking(window, day, notices)


def verdict(window: Window, day: datetime.date, notices: Sequence[Notice] = ()) -> SeasonVerdict:
    """What the calendar says to a work day (rule 1).

    CLOSED outside the permitted days, with every cause. CAUTION in the first and the last week of a run of permitted
    days, and until 31 August, while birds may nest (general nesting period, canada.ca). Else OPEN.
    """
    blocking = _blocking(window, day, notices)
    if blocking:
        return SeasonVerdict(state=SeasonState.CLOSED, reasons=blocking)
    week = [datetime.timedelta(days=days) for days in range(1, EDGE_DAYS + 1)]
    cautions = []
    if any(not is_permitted(window, day - step, notices) for step in week):
        cautions.append(reason("season.first_week"))
    if any(not is_permitted(window, day + step, notices) for step in week):
        cautions.append(reason("season.last_week"))
    if contains(NESTING_STARTS, NESTING_ENDS, day):
        cautions.append(reason("season.nesting", until=_text(NESTING_ENDS)))
    if cautions:
        return SeasonVerdict(state=SeasonState.CAUTION, reasons=tuple(cautions))
    return SeasonVerdict(
        state=SeasonState.OPEN, reasons=(reason("season.open", opens=_text(window.opens), closes=_text(window.closes)),)
    )
