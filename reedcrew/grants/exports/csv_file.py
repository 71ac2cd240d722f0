"""CSV by RFC 4180: lines end in CR LF, every line has the fields of the head, quotes where a field needs them.

The files begin with a byte order mark, without which spreadsheets do not read UTF-8. What is not known is empty.
"""

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

from reedcrew.grants.exports.lines import Progress, head_of, line_rows
from reedcrew.grants.exports.tables import Table
from reedcrew.grants.reports import Report
from reedcrew.web.cells import safe_cell

BYTE_ORDER_MARK = "\ufeff"


def write_table(table: Table, path: Path) -> None:
    """Write a table; its texts are made harmless."""
    _write(path, table.head, ([safe_cell(cell) for cell in row] for row in table.rows))


def write_lines(report: Report, path: Path, *, progress: Progress | None = None) -> None:
    """Write the lines behind a report. Raises LedgerMoved."""
    _write(path, head_of(report), line_rows(report, progress=progress))


def _write(path: Path, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(BYTE_ORDER_MARK)
        writer = csv.writer(file)
        writer.writerow(head)
        writer.writerows(rows)
