"""Text in a cell of a file that a spreadsheet opens: never something that it would run."""

from typing import TypeVar

# A cell that starts with one of these is a formula to a spreadsheet; an apostrophe before it makes it text (OWASP, CSV
# injection).
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

Value = TypeVar("Value")


def safe_cell(value: Value) -> Value | str:
    """The value, made harmless where it is text that a spreadsheet would run. Numbers stay numbers."""
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA_STARTS) else value
