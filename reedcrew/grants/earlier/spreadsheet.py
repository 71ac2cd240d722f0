"""Rows of a CSV or XLSX file, one at a time, so that memory does not grow with the file.

A cell is what a person sees in it: of a formula its last value, and a text that looks like one stays a text. Nothing is
ever worked out here. Limits are conventions of this project.
"""

import csv
import datetime
import io
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import closing
from typing import IO
from xml.etree.ElementTree import ParseError

from reedcrew.grants import errors

FILE_BYTES_MAX = 25 * 1024 * 1024
UNPACKED_BYTES_MAX = 400 * 1024 * 1024  # 100,000 rows of a dozen columns unpack to about a tenth of it
ROWS_MAX = 100_000
COLUMNS_MAX = 60
CELL_LENGTH_MAX = 2000
DELIMITERS = ",;\t"

Cell = str | int | float | bool | datetime.datetime | datetime.date | datetime.time | datetime.timedelta | None
Row = tuple[int, Sequence[Cell]]  # the number that a spreadsheet program shows, from 1, and the cells

# What openpyxl raises for damaged or hostile files.
_UNREADABLE = (
    zipfile.BadZipFile,
    ParseError,
    KeyError,
    ValueError,
    TypeError,
    AttributeError,
    IndexError,
    OSError,
    EOFError,
)


def read_rows(file: IO[bytes], suffix: str) -> Iterator[Row]:
    """The rows that hold anything, the head among them. Of a workbook the first sheet is read.

    Raises SpreadsheetNotReadable, SpreadsheetTooLarge or TooManyRows.
    """
    rows = _csv_rows(file) if suffix == ".csv" else _xlsx_rows(file)
    for number, cells in rows:
        if number > ROWS_MAX + 1:
            raise errors.TooManyRows(limit=ROWS_MAX)
        kept = cells[:COLUMNS_MAX]
        if any(cell not in (None, "") for cell in kept):
            yield number, kept


def _csv_rows(file: IO[bytes]) -> Iterator[Row]:
    file.seek(0)
    text = io.TextIOWrapper(io.BufferedReader(_Unclosed(file)), encoding="utf-8-sig", newline="")
    number = 0
    try:
        head = text.readline()
        text.seek(0)
        delimiter = max(DELIMITERS, key=head.count)
        for number, cells in enumerate(csv.reader(text, delimiter=delimiter), 1):  # the errors name it
            yield number, [cell.strip() for cell in cells]
    except UnicodeDecodeError as error:
        raise errors.SpreadsheetNotUtf8(row=number + 1) from error
    except csv.Error as error:
        raise errors.SpreadsheetNotReadable(row=number + 1) from error


def _xlsx_rows(file: IO[bytes]) -> Iterator[Row]:
    from openpyxl import load_workbook  # long to load, and few processes ever need it

    file.seek(0)
    number = 0
    try:
        with zipfile.ZipFile(file) as packed:
            if sum(part.file_size for part in packed.infolist()) > UNPACKED_BYTES_MAX:
                raise errors.SpreadsheetTooLarge(limit=UNPACKED_BYTES_MAX // 1024 // 1024)
        file.seek(0)
        with closing(load_workbook(file, read_only=True, data_only=True, keep_links=False)) as book:
            sheet = book.worksheets[0]
            sheet.reset_dimensions()  # files lie about their size
            for number, cells in enumerate(sheet.iter_rows(values_only=True), 1):
                yield number, [cell.strip() if isinstance(cell, str) else cell for cell in cells]
    except _UNREADABLE as error:
        raise errors.SpreadsheetNotReadable(row=number + 1) from error


class _Unclosed(io.RawIOBase):
    """Reads a file that stays open for its owner."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        return self._file.seek(offset, whence)

    def tell(self) -> int:
        return self._file.tell()

    def readinto(self, buffer: "memoryview") -> int:  # type: ignore[override]  # the stubs say any buffer
        data = self._file.read(len(buffer))
        buffer[: len(data)] = data
        return len(data)


def column_name(number: int) -> str:
    """The letters that a spreadsheet program shows above a column; ``number`` counts from 0."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
