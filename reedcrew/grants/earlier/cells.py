"""What a cell says: a day, a length of time, a number, a text. Each raises CellWrong with what would be right."""

import datetime
import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from types import MappingProxyType

from django.utils.translation import gettext as _

from reedcrew.grants.earlier.spreadsheet import CELL_LENGTH_MAX, Cell

EARLIEST_YEAR = 1950  # as stands take it for their first cut
MINUTES_MAX = 24 * 60
STEMS_MAX = 2_000_000_000  # what the column holds


class DateOrder(StrEnum):
    """How days are written where they are texts."""

    YEAR_FIRST = "ymd"
    DAY_FIRST = "dmy"
    MONTH_FIRST = "mdy"


_PARTS: Mapping[DateOrder, str] = MappingProxyType(
    {DateOrder.YEAR_FIRST: "ymd", DateOrder.DAY_FIRST: "dmy", DateOrder.MONTH_FIRST: "mdy"}
)
_DAY = re.compile(r"(\d{1,4})[-./ ](\d{1,2})[-./ ](\d{1,4})")
_CLOCK = re.compile(r"(\d{1,2})\s*(?::|h)\s*(?:(\d{1,2})\s*(?:min|m)?)?", re.IGNORECASE)


class CellWrong(ValueError):
    """A cell that cannot mean what its column says; the message is for people."""


def text_of(cell: Cell, limit: int) -> str:
    """The text of a cell, on one line."""
    if isinstance(cell, float) and cell.is_integer():
        cell = int(cell)
    text = " ".join(str("" if cell is None else cell)[:CELL_LENGTH_MAX].split()).replace("\x00", "")
    if len(text) > limit:
        raise CellWrong(_("Write at most %(limit)d characters.") % {"limit": limit})
    return text


def day_of(cell: Cell, order: DateOrder, today: datetime.date) -> datetime.date:
    """The day in a cell, not after today."""
    day = cell.date() if isinstance(cell, datetime.datetime) else cell
    if not isinstance(day, datetime.date):
        day = _written_day(text_of(cell, CELL_LENGTH_MAX), order)
    if day.year < EARLIEST_YEAR:
        raise CellWrong(_("Give a day from %(year)d on.") % {"year": EARLIEST_YEAR})
    if day > today:
        raise CellWrong(_("This day has not come yet: give the day of the work."))
    return day


def minutes_of(cell: Cell) -> int:
    """Whole minutes of a length in hours: 3.5, 3,5, 3:30, 3 h 30 min, or a cell that holds a time."""
    if isinstance(cell, datetime.datetime):
        raise CellWrong(_("This is a day: write hours, such as 3.5 or 3:30."))
    if isinstance(cell, datetime.time):
        cell = datetime.timedelta(hours=cell.hour, minutes=cell.minute, seconds=cell.second)
    if isinstance(cell, datetime.timedelta):
        minutes = round(cell / datetime.timedelta(minutes=1))
    elif written := _CLOCK.fullmatch(text_of(cell, CELL_LENGTH_MAX)):
        minutes = int(written[1]) * 60 + int(written[2] or 0)
        if int(written[2] or 0) > 59:
            raise CellWrong(_("Minutes go up to 59: write hours such as 3:30."))
    else:
        minutes = round(_number(cell, _("Write hours, such as 3.5 or 3:30.")) * 60)
    if not 0 < minutes <= MINUTES_MAX:
        raise CellWrong(_("Write more than 0 and at most 24 hours."))
    return minutes


def stems_of(cell: Cell) -> int | None:
    """Whole stems, or None for an empty cell."""
    if cell in (None, ""):
        return None
    number = _number(cell, _("Write a whole number of stems."))
    if number != number.to_integral_value() or not 0 <= number <= STEMS_MAX:
        raise CellWrong(_("Write a whole number of stems, 0 or more."))
    return int(number)


def _number(cell: Cell, otherwise: str) -> Decimal:
    if isinstance(cell, bool | datetime.date):
        raise CellWrong(otherwise)
    try:
        number = Decimal(text_of(cell, 40).replace(" ", "").replace(",", "."))
    except (InvalidOperation, CellWrong) as error:
        raise CellWrong(otherwise) from error
    if not number.is_finite():
        raise CellWrong(otherwise)
    return number


def _written_day(text: str, order: DateOrder) -> datetime.date:
    found = _DAY.fullmatch(text)
    if found is None:
        raise _no_day(order)
    parts = dict(zip(_PARTS[order], map(int, found.groups()), strict=True))
    try:
        return datetime.date(parts["y"], parts["m"], parts["d"])
    except ValueError as error:
        raise _no_day(order) from error


def _no_day(order: DateOrder) -> CellWrong:
    example = {"ymd": "2024-07-18", "dmy": "18.7.2024", "mdy": "7/18/2024"}[order.value]
    return CellWrong(_("Write the day as chosen above, such as %(example)s.") % {"example": example})
