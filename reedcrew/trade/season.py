"""The permitted weeks of work at a site."""

from typing import NamedTuple


class MonthDay(NamedTuple):
    """A day of any year, as month 1 to 12 and day 1 to 31."""

    month: int
    day: int
