"""CSV by RFC 4180: lines end in CR LF, every line has the fields of the head, quotes where a field needs them.

The files begin with a byte order mark, without which spreadsheets do not read UTF-8.
"""

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

from reedcrew.grants.exports.lines import Progress, head_of, line_rows
from reedcrew.grants.reports import Report

ENCODING = "utf-8-sig"


def write_table(path: Path, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Write a table. Its text is harmless already (``web.cells``)."""
    with path.open("w", encoding=ENCODING, newline="") as file:
        writer = csv.writer(file)
        writer.writerow(head)
        writer.writerows(rows)


def write_lines(report: Report, path: Path, *, progress: Progress | None = None) -> None:
    """Write the lines behind a report. Raises LedgerMoved."""
    write_table(path, head_of(report), line_rows(report, progress=progress))
