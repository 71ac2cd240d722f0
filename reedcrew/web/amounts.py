"""Amounts with their unit as pages and letters say them: metric first, and US customary beside it for who asks for it.

Whether the present reader does is a variable of the context, as the active language is: set around every request and
around every letter, off everywhere else. Forms, files, paper and what programs read are metric.
"""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal

from django.utils.formats import number_format
from django.utils.functional import Promise
from django.utils.translation import gettext

from reedcrew.web.customary import CONVERTED, customary

_with_customary: ContextVar[bool] = ContextVar("with_customary", default=False)

# A place of a sentence with the unit after it, as "{depth_cm} cm". "m" is not the beginning of "m²/s" or "mg/L".
_UNITS = "|".join(re.escape(unit) for unit in sorted(CONVERTED, key=len, reverse=True))
_PLACE_WITH_UNIT = re.compile(rf"\{{(?P<name>\w+)\}}\s(?P<unit>{_UNITS})(?![\w/²])")


@contextmanager
def shown(*, with_customary: bool) -> Iterator[None]:
    """Inside, amounts are metric alone, or have the customary one beside them."""
    token = _with_customary.set(with_customary)
    try:
        yield
    finally:
        _with_customary.reset(token)


def are_with_customary() -> bool:
    """Whether the present reader gets the customary amount too."""
    return _with_customary.get()


def number_text(value: float | Decimal, places: int = 0) -> str:
    """With the reader's separators, so many places after the point.

    Rounded: Django itself would cut the other digits off. What rounds to nothing has no minus.
    """
    rounded = round(Decimal(value), places)
    return number_format(rounded or abs(rounded), decimal_pos=places, force_grouping=True)


def amount_text(
    value: float | Decimal, unit: str | Promise, places: int = 0, *, is_difference: bool = False, inside: bool = False
) -> str:
    """``60 cm``, or ``60 cm (24 in)``, each number on one line with its unit.

    ``is_difference`` is for °C by which something is warmer; ``inside`` for an amount that stands in parentheses
    already: ``60 cm, 24 in``.
    """
    text = f"{number_text(value, places)}\N{NO-BREAK SPACE}{unit}"
    return text + beside(value, str(unit), is_difference=is_difference, inside=inside)


def beside(value: float | Decimal, unit: str, *, is_difference: bool = False, inside: bool = False) -> str:
    """What is said after a metric amount: `` (24 in)``; nothing for who reads metric alone, or without a customary
    unit."""
    found = customary(value, unit, is_difference=is_difference) if are_with_customary() else None
    if found is None:
        return ""
    text = f"{number_format(found.amount, force_grouping=True)}\N{NO-BREAK SPACE}{gettext(found.unit)}"
    return f", {text}" if inside else f" ({text})"


def places_with_units(sentence: str) -> Iterator[re.Match[str]]:
    """The places of a sentence that a metric unit follows, each with its ``name`` and ``unit``."""
    return _PLACE_WITH_UNIT.finditer(sentence)


def with_customary(sentence: str, values: Mapping[str, object], *, differences: frozenset[str]) -> str:
    """A sentence whose places are still open, with the customary amount after each place that a metric unit follows.

    Works on any translation, because symbols of units are the same in each. ``differences`` names places for °C by
    which something is warmer.
    """
    if not are_with_customary():
        return sentence

    def both(found: re.Match[str]) -> str:
        value = values.get(found["name"])
        if not isinstance(value, int | float | Decimal):
            return found[0]
        before = sentence[: found.start()]
        inside = before.count("(") > before.count(")")
        return found[0] + beside(value, found["unit"], is_difference=found["name"] in differences, inside=inside)

    return _PLACE_WITH_UNIT.sub(both, sentence)
