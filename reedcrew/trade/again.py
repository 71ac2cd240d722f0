"""When to hold a day of an earlier year again."""

import datetime
from collections.abc import Iterator

from reedcrew.trade.season import SeasonRules

DAY = datetime.timedelta(days=1)
WEEK = datetime.timedelta(weeks=1)
WEEKS_OF_A_YEAR = 53


def same_week(day: datetime.date, after: datetime.date) -> datetime.date:
    """The same weekday of the same week (ISO 8601) in the first year in which it lies after ``after``.

    Week 53, which only some years have, becomes week 52 in the others (cp). The place in the week is kept rather than
    the date: people are free on the same weekday.
    """
    _year, week, weekday = day.isocalendar()
    for year in range(after.isocalendar().year, after.isocalendar().year + 2):
        found = _in_week(year, week, weekday)
        if found > after:
            return found
    return _in_week(after.isocalendar().year + 2, week, weekday)


def nearest_permitted(day: datetime.date, after: datetime.date, rules: SeasonRules) -> datetime.date | None:
    """The same weekday nearest to a day, after ``after`` and within a year, on which the rules leave some work open."""
    return next((found for found in _outward(day) if found > after and rules.is_permitted(found, in_water=False)), None)


def _in_week(year: int, week: int, weekday: int) -> datetime.date:
    last = datetime.date(year, 12, 28).isocalendar().week  # ISO 8601: 28 December lies in the last week of its year
    return datetime.date.fromisocalendar(year, min(week, last), weekday)


def _outward(day: datetime.date) -> Iterator[datetime.date]:
    yield day
    for weeks in range(1, WEEKS_OF_A_YEAR):
        yield day + weeks * WEEK
        yield day - weeks * WEEK
