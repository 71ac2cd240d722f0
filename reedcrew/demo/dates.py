"""The days of the demo season: they follow the calendar of the day on which it is loaded."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from reedcrew.demo.places import BOATHOUSE, LANDING, QUARRY, QUARRY_WINDOW, TIME_ZONE
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import Window, default_window, is_permitted

DAYS_AHEAD_MIN = 4  # so many days at least lie between loading and the next work day
DAYS_BETWEEN = 14  # the group meets every second week
CLOSED_DAYS = 7
SATURDAY = 5
ZONE = ZoneInfo(TIME_ZONE)
DAY = datetime.timedelta(days=1)

WINDOWS = {
    LANDING: default_window(DEFAULT_POLICY),
    BOATHOUSE: default_window(DEFAULT_POLICY),
    QUARRY: QUARRY_WINDOW,
}

# Days of earlier seasons: the first Saturday from that month and day on, and the stand. Of last season as many are
# taken as make CLOSED_DAYS together with the others.
TWO_YEARS_AGO = ((7, 25, LANDING), (9, 5, BOATHOUSE))
LAST_YEAR = ((7, 22, LANDING), (8, 5, QUARRY), (8, 19, BOATHOUSE), (9, 2, LANDING), (9, 16, LANDING))
# This season so far, in weeks before the next day, where they lie in the permitted weeks.
THIS_YEAR = ((4, BOATHOUSE), (2, LANDING))


@dataclass(frozen=True, slots=True, kw_only=True)
class PastDay:
    """A closed day: when, and at which stand."""

    date: datetime.date
    stand: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """The dates of the demo. ``year`` is that of the next day; ``closed`` are past days, the earliest first."""

    next_day: datetime.date
    later_day: datetime.date
    closed: tuple[PastDay, ...]

    @property
    def year(self) -> int:
        return self.next_day.year


def season_for(today: datetime.date) -> Season:
    """The dates of a demo that is loaded on a day (the site's date).

    The next day is the first permitted Saturday at least four days ahead: next summer's first in autumn and winter.
    """
    next_day = first_saturday(today + DAYS_AHEAD_MIN * DAY, WINDOWS[LANDING])
    this_year = tuple(
        PastDay(date=date, stand=stand)
        for weeks, stand in THIS_YEAR
        if _is_this_season(date := next_day - 7 * weeks * DAY, next_day, WINDOWS[stand])
    )
    last = LAST_YEAR[: CLOSED_DAYS - len(TWO_YEARS_AGO) - len(this_year)]
    return Season(
        next_day=next_day,
        later_day=first_saturday(next_day + DAYS_BETWEEN * DAY, WINDOWS[BOATHOUSE]),
        closed=(*_days(next_day.year - 2, TWO_YEARS_AGO), *_days(next_day.year - 1, last), *this_year),
    )


def first_saturday(start: datetime.date, window: Window) -> datetime.date:
    """The first Saturday in a window from a day on, that day included."""
    return next(day for day in _saturdays(start) if is_permitted(window, day))


def at_site(date: datetime.date, hour: int, minute: int = 0) -> datetime.datetime:
    """An aware moment by the clocks of the demo's sites."""
    return datetime.datetime(date.year, date.month, date.day, hour, minute, tzinfo=ZONE)


def moment(text: str) -> datetime.datetime:
    """An aware moment from ISO 8601 text. Raises ValueError for other text or without an offset from UTC."""
    found = datetime.datetime.fromisoformat(text)
    if found.tzinfo is None:
        raise ValueError(f"{text} has no offset from UTC")
    return found


# --- Private ---------------------------------------------------------------------------------------------------------


def _saturdays(start: datetime.date) -> Iterator[datetime.date]:
    day = start + (SATURDAY - start.weekday()) % 7 * DAY
    while True:
        yield day
        day += 7 * DAY


def _is_this_season(date: datetime.date, next_day: datetime.date, window: Window) -> bool:
    return date.year == next_day.year and is_permitted(window, date)


def _days(year: int, table: tuple[tuple[int, int, str], ...]) -> tuple[PastDay, ...]:
    return tuple(
        PastDay(date=next(_saturdays(datetime.date(year, month, day))), stand=stand) for month, day, stand in table
    )
