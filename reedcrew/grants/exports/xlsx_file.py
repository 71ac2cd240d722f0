"""A spreadsheet of a report: its tables and its lines, written row by row, so that memory does not grow with the lines.

No cell is a formula: texts are written as texts, and what a spreadsheet would run is made harmless besides.
"""

import tempfile
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import chain, islice
from pathlib import Path
from typing import Any

from reedcrew.grants.exports.lines import Progress, head_of, line_rows
from reedcrew.grants.exports.tables import tables
from reedcrew.grants.reports import Report
from reedcrew.web.cells import safe_cell

ROWS_A_SHEET = 1_048_576  # what the format holds (ECMA-376), the head included
WIDTH, FIRST_WIDTH = 14, 18  # of columns, in signs
OPTIONS = {
    "constant_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


def write_workbook(
    report: Report, path: Path, *, progress: Progress | None = None, rows_a_sheet: int = ROWS_A_SHEET
) -> None:
    """Write the workbook; lines that fill a sheet go on in another. Raises LedgerMoved."""
    import xlsxwriter  # long to load, and few processes ever need it

    with tempfile.TemporaryDirectory(dir=path.parent) as folder:
        book = xlsxwriter.Workbook(path, {**OPTIONS, "tmpdir": folder})
        # The library would write the present moment and differ each time.
        book.set_properties({"title": report.scope.grant.name, "company": report.group, "created": report.made_at})
        for table in tables(report):
            _sheet(book, table.name, table.head, ([safe_cell(cell) for cell in row] for row in table.rows))
        lines: Iterator[list[Any]] = line_rows(report, progress=progress, hours=_hours, amount=_amount)
        for name, rows in _sheets(lines, rows_a_sheet - 1):
            _sheet(book, name, head_of(report), rows)
        book.close()


# --- Private ---------------------------------------------------------------------------------------------------------


def _hours(minutes: int) -> float:
    return round(minutes / 60, 2)


def _amount(cents: int) -> float:
    return cents / 100


def _sheets(lines: Iterator[Sequence[Any]], most: int) -> Iterator[tuple[str, Iterable[Sequence[Any]]]]:
    """The lines in parts that a sheet holds; each part is read to its end before the next."""
    number = 1
    yield "lines", islice(lines, most)
    for first in lines:
        number += 1
        yield f"lines {number}", islice(chain([first], lines), most)


def _sheet(book: Any, name: str, head: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    sheet = book.add_worksheet(name)
    sheet.set_column(0, 0, FIRST_WIDTH)
    sheet.set_column(1, len(head) - 1, WIDTH)
    sheet.freeze_panes(1, 0)
    sheet.write_row(0, 0, head, book.add_format({"bold": True, "text_wrap": True, "valign": "top"}))
    text, number = sheet.write_string, sheet.write_number
    for place, row in enumerate(rows, 1):
        for column, cell in enumerate(row):
            if isinstance(cell, str):
                if cell:
                    text(place, column, cell)
            elif cell is not None:
                number(place, column, float(cell) if isinstance(cell, Decimal) else cell)
