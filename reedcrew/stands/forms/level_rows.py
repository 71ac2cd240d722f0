"""Rows of gauge readings as people paste or upload them: a moment and a level, apart by comma, semicolon or tab."""

import csv
import datetime
import io
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.utils.functional import Promise
from django.utils.translation import gettext as _

from reedcrew.stands.queries import LevelRow, RowProblem
from reedcrew.web.forms.fields import FIRST_YEAR, LAST_YEAR

READ_AT, LEVEL = "read_at", "level"


class LevelUnit(StrEnum):
    """What a level is written in. Levels are kept in whole centimetres."""

    CM = "cm"
    M = "m"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadRows:
    """What could be read of the rows, and what could not. Rows are whole only where there is no problem."""

    rows: Sequence[LevelRow]
    problems: Sequence[RowProblem]


# A level may be named with its unit; the unit of the form is then asked to agree.
_LEVEL_NAMES: Mapping[str, LevelUnit | None] = {
    "level": None,
    "level_cm": LevelUnit.CM,
    "level_m": LevelUnit.M,
}
_NUMBER = re.compile(r"[+-]?(\d{1,12}([.,]\d*)?|[.,]\d+)")  # more digits are no level; no sentence can show them
_MAY_BE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")
_HAS_CLOCK = re.compile(r"\d[T ]\d{2}")
_CM_IN_M = 100


def read_level_rows(text: str, *, unit: LevelUnit, zone_info: ZoneInfo) -> ReadRows:
    """Read rows of ``read_at`` and ``level``, with or without a first row of these names (``level_cm``, ``level_m``).

    Moments are ISO 8601, or day and time on the clocks of the site; levels have a point or a comma before their
    decimals. Parts of a centimetre are rounded up: never less water than was read. Rows are numbered as in a text
    editor, from 1; empty ones are skipped.
    """
    lines = csv.reader(io.StringIO(text), delimiter=_delimiter(text))
    columns: tuple[str, ...] = (READ_AT, LEVEL)
    rows: list[LevelRow] = []
    problems: list[RowProblem] = []
    is_first = True
    try:
        for cells in lines:
            cells = [cell.strip() for cell in cells]
            if not any(cells):
                continue
            line = lines.line_num
            if is_first and _is_head(cells):
                columns, wrong = _columns(cells, line, unit)
                if wrong:
                    return ReadRows(rows=(), problems=(wrong,))
            else:
                found = _row(cells, line, columns, unit, zone_info)
                (problems if isinstance(found, RowProblem) else rows).append(found)  # type: ignore[arg-type]
            is_first = False
    except csv.Error:
        text_of = _("this is no row of a table. Look for a quotation mark that is never closed.")
        problems.append(RowProblem(line=lines.line_num, column=READ_AT, text=text_of))
    return ReadRows(rows=rows, problems=problems)


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return next((sign for sign in ("\t", ";") if sign in first), ",")


def _is_head(cells: Sequence[str]) -> bool:
    return not any(character.isdigit() for character in "".join(cells))


def _columns(cells: Sequence[str], line: int, unit: LevelUnit) -> tuple[tuple[str, ...], RowProblem | None]:
    names = [cell.casefold() for cell in cells]
    levels = [name for name in names if name in _LEVEL_NAMES]
    if names.count(READ_AT) != 1 or len(levels) != 1:
        text = _("name the columns read_at and level (or level_cm, level_m), each once, or leave this row out.")
        return (), RowProblem(line=line, column=READ_AT, text=text)
    said = _LEVEL_NAMES[levels[0]]
    if said not in (None, unit):
        text = _("the column is in %(said)s and the form says %(unit)s. Choose the unit that the levels have.")
        return (), RowProblem(line=line, column=LEVEL, text=text % {"said": said, "unit": unit})
    return tuple(LEVEL if name in _LEVEL_NAMES else name for name in names), None


def _row(
    cells: Sequence[str], line: int, columns: Sequence[str], unit: LevelUnit, zone_info: ZoneInfo
) -> LevelRow | RowProblem:
    if len(cells) != len(columns):
        text = _(
            "the row has %(found)d cells instead of %(wanted)d. Where decimals have a comma, separate the columns by "
            "semicolon or tab."
        )
        return RowProblem(line=line, column=READ_AT, text=text % {"found": len(cells), "wanted": len(columns)})
    values = dict(zip(columns, cells, strict=True))
    read_at = _moment(values[READ_AT], zone_info)
    if not isinstance(read_at, datetime.datetime):
        return RowProblem(line=line, column=READ_AT, text=read_at)
    level_cm = _level(values[LEVEL], unit)
    if not isinstance(level_cm, int):
        return RowProblem(line=line, column=LEVEL, text=level_cm)
    return LevelRow(line=line, read_at=read_at, level_cm=level_cm)


def _moment(written: str, zone_info: ZoneInfo) -> datetime.datetime | str | Promise:
    """The moment in UTC, or what is wrong with it."""
    wrong = _("“%(written)s” is no day and time. Write it as 2026-07-18 09:30, or with its offset from UTC.")
    try:
        found = datetime.datetime.fromisoformat(written)
    except ValueError:
        return wrong % {"written": written[:40]}
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        return _("give a day in the years %(first)d to %(last)d.") % {"first": FIRST_YEAR, "last": LAST_YEAR}
    if not _HAS_CLOCK.search(written):
        return _("the time of the reading is missing. Write it as 2026-07-18 09:30.")
    if found.tzinfo is not None:
        return found.astimezone(datetime.UTC)
    local = found.replace(tzinfo=zone_info)
    moment = local.astimezone(datetime.UTC)
    if moment.astimezone(zone_info).replace(tzinfo=None) != found:
        return _("the clocks of the site go forward and skip this time. Write the time with its offset from UTC.")
    return moment


def _level(written: str, unit: LevelUnit) -> int | str | Promise:
    """The level in whole centimetres, parts rounded up, or what is wrong with it."""
    text = written.replace("\N{MINUS SIGN}", "-")
    if not _NUMBER.fullmatch(text):
        return _("“%(written)s” is no number. Write the level in %(unit)s, such as 12.5 or 12,5.") % {
            "written": written[:40],
            "unit": unit,
        }
    if unit is LevelUnit.CM and _MAY_BE_THOUSANDS.fullmatch(text):
        return _("“%(written)s” may mean thousands or decimals. Write it with a point, or without the comma.") % {
            "written": written
        }
    value = Decimal(text.replace(",", "."))
    return math.ceil(value * _CM_IN_M if unit is LevelUnit.M else value)
