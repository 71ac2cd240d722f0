"""Sets the paper with typst. What people wrote goes in as data, as strings: it is never read as typst's markup."""

import datetime
import json
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any

import typst

from reedcrew.crews.paper.words import printable

TEMPLATE = Path(__file__).with_name("clipboard.typ")


class Sheet(StrEnum):
    """Sizes of paper, by typst's names."""

    A4 = "a4"
    LETTER = "us-letter"


def typeset(document: Mapping[str, Any], *, sheet: Sheet, at: datetime.datetime) -> bytes:
    """The PDF of a document of crews.paper.sheets. The same document and moment give the same bytes.

    Only fonts that typst brings are used, so that every machine prints the same.
    """
    return _compile(document, sheet, at, "pdf")[0]


def pictures(document: Mapping[str, Any], *, sheet: Sheet, at: datetime.datetime, ppi: float = 100) -> list[bytes]:
    """The pages as PNG pictures, to look at."""
    return _compile(document, sheet, at, "png", ppi)


def _compile(
    document: Mapping[str, Any], sheet: Sheet, at: datetime.datetime, form: Any, ppi: float | None = None
) -> list[bytes]:
    data = json.dumps(_printable(document), ensure_ascii=False, sort_keys=True)
    compiler = typst.Compiler(
        input=TEMPLATE.read_bytes(),
        ignore_system_fonts=True,
        sys_inputs={"document": data, "sheet": sheet.value},
    )
    made = compiler.compile(format=form, ppi=ppi, timestamp=int(at.timestamp()))
    pages = made if isinstance(made, list) else [made]
    return [page for page in pages if page is not None]


def _printable(value: Any) -> Any:
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, Mapping):
        return {name: _printable(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_printable(each) for each in value]
    return value
