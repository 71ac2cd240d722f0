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


def typeset(
    document: Mapping[str, Any],
    *,
    sheet: Sheet,
    at: datetime.datetime,
    template: Path = TEMPLATE,
    pictures_in: Path | None = None,
) -> bytes:
    """The PDF of a document, such as one of crews.paper.sheets. The same document and moment give the same bytes.

    Only fonts that typst brings are used, so that every machine prints the same. The template reads pictures by their
    names in the folder ``pictures_in``.
    """
    return _compile(document, sheet, at, "pdf", template=template, root=pictures_in)[0]


def pictures(
    document: Mapping[str, Any],
    *,
    sheet: Sheet,
    at: datetime.datetime,
    ppi: float = 100,
    template: Path = TEMPLATE,
    pictures_in: Path | None = None,
) -> list[bytes]:
    """The pages as PNG pictures, to look at."""
    return _compile(document, sheet, at, "png", ppi, template=template, root=pictures_in)


def _compile(
    document: Mapping[str, Any],
    sheet: Sheet,
    at: datetime.datetime,
    form: Any,
    ppi: float | None = None,
    *,
    template: Path,
    root: Path | None,
) -> list[bytes]:
    data = json.dumps(_printable(document), ensure_ascii=False, sort_keys=True)
    compiler = typst.Compiler(
        input=template.read_bytes(),
        root=root or template.parent,
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
