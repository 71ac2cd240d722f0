"""Every sentence that the site can say, as the catalogs name it: read from the source, without other tools."""

import ast
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from django.utils.translation.template import templatize

TOP = Path(__file__).resolve().parents[3]
LEFT_OUT = {"migrations"}  # they repeat what models say

# Calls that mark a sentence, and where among their arguments its context, its singular and its plural stand.
_FORMS = ("", "_lazy", "_noop")
CALLS: dict[str, tuple[int | None, int, int | None]] = {
    "_": (None, 0, None),
    **{f"gettext{form}": (None, 0, None) for form in _FORMS},
    **{f"ngettext{form}": (None, 0, 1) for form in _FORMS},
    **{f"pgettext{form}": (0, 1, None) for form in _FORMS},
    **{f"npgettext{form}": (0, 1, 2) for form in _FORMS},
}
# The same as the library counts it, for templates: from 1, the context marked.
_IN_TEMPLATES = {
    "_": None,
    "gettext": None,
    "ngettext": (1, 2),
    "pgettext": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
}
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)

Message = tuple[str | None, str | tuple[str, ...]]  # context, and the sentence or its singular and plural


def collect() -> Catalog:
    """All sentences, in the order of the files that say them."""
    found = Catalog(charset="utf-8")
    for path in _sources():
        text = path.read_text()
        for context, message in _of_code(text) if path.suffix == ".py" else _of_template(text, path.name):
            found.add(message, context=context)
    return found


def _sources() -> Iterator[Path]:
    code = (path for path in (TOP / "reedcrew").rglob("*.py") if not LEFT_OUT & set(path.parts))
    templates = (path for suffix in ("html", "txt") for path in (TOP / "templates").rglob(f"*.{suffix}"))
    yield from sorted([*code, *templates])


def _of_code(text: str) -> Iterator[Message]:
    for node in ast.walk(ast.parse(text)) if "gettext" in text else ():
        if not isinstance(node, ast.Call):
            continue
        call = CALLS.get(getattr(node.func, "id", "") or getattr(node.func, "attr", ""))
        if call is None:
            continue
        words = [each.value if isinstance(each, ast.Constant) else None for each in node.args]
        context, one, many = (None if place is None or place >= len(words) else words[place] for place in call)
        if isinstance(one, str) and one:
            said = (one, many) if isinstance(many, str) else one
            yield context if isinstance(context, str) else None, said


def _of_template(text: str, name: str) -> Iterator[Message]:
    if "{%" not in text and "{{" not in text:
        return
    # What stands between the tags is blanked out; its indentation means nothing.
    blanked = BytesIO(_INDENT.sub("", templatize(text, origin=name)).encode())
    for _line, message, _comments, context in extract("python", blanked, keywords=_IN_TEMPLATES):
        if message:
            yield context, message
