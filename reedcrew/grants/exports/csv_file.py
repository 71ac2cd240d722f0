"""CSV by RFC 4180: lines end in CR LF, every line has the fields of the head, quotes where a field needs them.

The files begin with a byte order mark, without which spreadsheets do not read UTF-8. What is not known is empty.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, TextIO

from reedcrew.grants.exports.lines import Progress, head_of, line_rows
from reedcrew.grants.exports.tables import Table
from reedcrew.grants.reports import Report
from reedcrew.web.cells import safe_cell

BYTE_ORDER_MARK = "\ufeff"
END = "\r\n"  # of a record


def write_table(table: Table, path: Path) -> None:
    """Write a table; its texts are made harmless."""
    _write(path, table.head, ([safe_cell(cell) for cell in row] for row in table.rows))


def write_lines(report: Report, path: Path, *, progress: Progress | None = None) -> None:
    """Write the lines behind a report. Raises LedgerMoved."""
    with path.open("w", encoding="utf-8", newline="") as file:
        _begin(file, head_of(report))
        file.writelines(line_rows(report, progress=progress, part=fields, row=record))


def fields(cells: Sequence[object]) -> str:
    """Cells as a part of a record: quoted where they need it, with commas between."""
    text = io.StringIO(newline="")
    csv.writer(text).writerow([*cells, ""])  # with one more, because an empty field alone would be quoted
    return text.getvalue().removesuffix(f",{END}")


def record(
    pk: int,
    corrects: int | str,
    date: str,
    place: str,
    person: str,
    work: str,
    start: str,
    end: str,
    minutes: int,
    priced: str,
    approval: str,
    reason: str,
    evidence: str,
    author: str,
    at: str,
) -> str:
    """A line of the ledger as a record, which takes far less time than its cells one by one."""
    return (
        f"{pk},{corrects},{date},{place},{person},{work},{start},{end},{minutes},"
        f"{priced},{approval},{reason},{evidence},{author},{at}{END}"
    )


def _write(path: Path, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        _begin(file, head).writerows(rows)


def _begin(file: TextIO, head: Sequence[str]) -> Any:
    """A writer of records, after the head."""
    file.write(BYTE_ORDER_MARK)
    writer = csv.writer(file)
    writer.writerow(head)
    return writer
