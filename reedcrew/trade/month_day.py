"""A day that comes every year."""

import calendar
from typing import NamedTuple


class MonthDay(NamedTuple):
    """A day of any year, as month 1 to 12 and day 1 to 31. Two of them compare as they stand in a calendar year."""

    month: int
    day: int

    def __str__(self) -> str:
        return f"{self.day} {calendar.month_name[self.month]}"
