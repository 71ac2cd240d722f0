"""Rows of quadrats as people paste them: one quadrat a row, apart by comma, semicolon or tab."""

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from reedcrew.stands.forms.sites import MILLIONTH
from reedcrew.stands.models import Quadrat, Zone
from reedcrew.stands.models.surveys import HEIGHT_CM_MAX, QUADRAT_NUMBER_MAX, QUADRAT_STEMS_MAX
from reedcrew.stands.queries import RowProblem
from reedcrew.stands.services import QuadratEntry
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX
from reedcrew.trade.water import DEPTH_CM_MAX
from reedcrew.web.forms import CountField, NumberField

# The columns in their order, by which a text without a head is read.
COLUMNS = ("zone", "number", "stems", "height_cm", "depth_cm", "seed_heads", "latitude", "longitude")
NEEDED = ("zone", "stems")
PASTED_LENGTH_MAX = 100_000  # characters (convention); 500 rows have some 30,000


def whole(limit: int, *, least: int = 0, required: bool = False) -> CountField:
    """A field for one whole number of a quadrat."""
    return CountField(min_value=least, max_value=limit, required=required)


def degrees(limit: int) -> NumberField:
    """A field for one coordinate."""
    return NumberField(min_value=-limit, max_value=limit, required=False)


FIELDS: Mapping[str, forms.Field] = {
    "number": whole(QUADRAT_NUMBER_MAX, least=1),
    "stems": whole(QUADRAT_STEMS_MAX, required=True),
    "height_cm": whole(HEIGHT_CM_MAX),
    "depth_cm": whole(DEPTH_CM_MAX),
    "seed_heads": whole(QUADRAT_STEMS_MAX),
    "latitude": degrees(LATITUDE_MAX),
    "longitude": degrees(LONGITUDE_MAX),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedQuadrats:
    """Quadrats that could be read, the line of each, and what could not be read."""

    entries: tuple[QuadratEntry, ...]
    lines: tuple[int, ...]
    problems: tuple[RowProblem, ...]


def read_quadrats(text: str, zones: Sequence[Zone], taken: Mapping[int, int]) -> PastedQuadrats:
    """Read rows with the columns zone, number, stems, height_cm, depth_cm, seed_heads, latitude, longitude.

    A first row of these names, in any order, says which columns there are; without it they stand in this order, and
    the last may be missing. Zones are named as on the page, in any case. An empty number counts on from the greatest
    of its zone, here or in ``taken`` by the zone's key. Lines are numbered as in a text editor, from 1; empty ones are
    skipped.
    """
    lines = csv.reader(io.StringIO(text), delimiter=_delimiter(text))
    by_name = {zone.name.casefold(): zone for zone in zones}
    columns: Sequence[str] | None = None
    found: list[tuple[int, dict[str, Any]]] = []
    problems: list[RowProblem] = []
    try:
        for cells in lines:
            cells = [cell.strip() for cell in cells]
            if not any(cells):
                continue
            if columns is None:
                columns = _head(cells)
                if columns is not None:
                    if wrong := _wrong_head(columns):
                        return PastedQuadrats(
                            entries=(),
                            lines=(),
                            problems=(RowProblem(line=lines.line_num, column=wrong[0], text=wrong[1]),),
                        )
                    continue
                columns = COLUMNS
            values, wrong_cells = _row(cells, columns, by_name)
            problems += [RowProblem(line=lines.line_num, column=name, text=why) for name, why in wrong_cells]
            if not wrong_cells:
                found.append((lines.line_num, values))
    except csv.Error:
        why = _("this is no row of a table. Look for a quotation mark that is never closed.")
        problems.append(RowProblem(line=lines.line_num, column="zone", text=why))
    return PastedQuadrats(
        entries=tuple(QuadratEntry(**values) for values in _numbered([values for _line, values in found], taken)),
        lines=tuple(line for line, _values in found),
        problems=tuple(problems),
    )


def pasted_text(quadrats: Sequence[Quadrat]) -> str:
    """Quadrats as a text that read_quadrats reads, with a head; apart by tabs, which no name of a zone has."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter="\t", lineterminator="\n")
    writer.writerow(COLUMNS)
    for each in quadrats:
        values = [getattr(each, name) for name in COLUMNS[1:]]
        writer.writerow([each.zone.name, *("" if value is None else value for value in values)])
    return out.getvalue()


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return next((sign for sign in ("\t", ";") if sign in first), ",")


def _head(cells: Sequence[str]) -> list[str] | None:
    """The columns that a first row names, or None where it is a row of figures."""
    names = [cell.casefold().replace(" ", "_") for cell in cells]
    return names if {"zone", "stems"} & set(names) and not any(map(_is_figure, cells)) else None


def _is_figure(cell: str) -> bool:
    return bool(cell) and cell.replace(",", "").replace(".", "").lstrip("-").isdigit()


def _wrong_head(names: Sequence[str]) -> tuple[str, str] | None:
    for name in NEEDED:
        if name not in names:
            return name, _("the head has no such column. Name the columns %(columns)s.") % {
                "columns": ", ".join(COLUMNS)
            }
    for name in names:
        if name not in COLUMNS:
            return name or "?", _("there is no such column. Name the columns %(columns)s.") % {
                "columns": ", ".join(COLUMNS)
            }
        if names.count(name) > 1:
            return name, _("the head names this column twice.")
    return None


def _row(
    cells: Sequence[str], columns: Sequence[str], zones: Mapping[str, Zone]
) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """The values of one row, and column and sentence of each that is wrong."""
    if any(cells[len(columns) :]):
        why = _(
            "the row has %(found)d cells instead of %(wanted)d. Where decimals have a comma, separate the columns by "
            "semicolon or tab."
        )
        return {}, [("zone", why % {"found": len(cells), "wanted": len(columns)})]
    written = dict(zip(columns, [*cells, *[""] * len(columns)], strict=False))
    values: dict[str, Any] = {}
    wrong: list[tuple[str, str]] = []
    zone = zones.get(written.get("zone", "").casefold())
    if zone is None:
        names = ", ".join(sorted(each.name for each in zones.values()))
        why = _("the stand has no zone “%(written)s”. Its zones are %(names)s.")
        wrong.append(("zone", why % {"written": written.get("zone", "")[:40], "names": names}))
    values["zone"] = zone
    for name, field in FIELDS.items():
        try:
            values[name] = _cleaned(name, field.clean)(written.get(name, ""))
        except ValidationError as error:
            wrong.append((name, " ".join(error.messages)))
    return values, wrong


def _cleaned(name: str, clean: Callable[[str], Any]) -> Callable[[str], Any]:
    if name not in {"latitude", "longitude"}:
        return clean

    def rounded(text: str) -> Decimal | None:
        value = clean(text)
        return None if value is None else Decimal(value).quantize(MILLIONTH)

    return rounded


def _numbered(rows: Sequence[Mapping[str, Any]], taken: Mapping[int, int]) -> list[dict[str, Any]]:
    greatest = dict(taken)
    for row in rows:
        key = row["zone"].pk
        greatest[key] = max(greatest.get(key, 0), row["number"] or 0)
    complete = []
    for row in rows:
        key = row["zone"].pk
        if not row["number"]:
            greatest[key] += 1
        complete.append({**row, "number": row["number"] or greatest[key]})
    return complete
