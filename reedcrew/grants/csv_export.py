"""Ledger rows as a CSV file (RFC 4180) that a spreadsheet opens without running anything in it."""

import csv
from collections.abc import Iterable, Iterator, Sequence

from django.http import StreamingHttpResponse

from reedcrew.web.cells import safe_cell


class _Echo:
    """Gives each written line back instead of keeping it."""

    def write(self, line: str) -> str:
        return line


def csv_lines(head: Sequence[str], rows: Iterable[Sequence[str | int]]) -> Iterator[str]:
    """Lines of the file, the head first, with a byte order mark so that spreadsheets read UTF-8."""
    writer = csv.writer(_Echo())
    yield "\ufeff" + writer.writerow(head)
    for row in rows:
        yield writer.writerow([safe_cell(value) for value in row])


def csv_response(name: str, head: Sequence[str], rows: Iterable[Sequence[str | int]]) -> StreamingHttpResponse:
    """A download that is streamed row by row."""
    return StreamingHttpResponse(
        csv_lines(head, rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"', "Cache-Control": "private, no-store"},
    )
