"""Sentences with named places, in English until they are said: the reasons of rules, in the reader's language."""

import datetime
from collections.abc import Collection, Iterable, Mapping
from typing import Protocol

from django.utils.formats import number_format
from django.utils.translation import gettext

from reedcrew.web import amounts
from reedcrew.web.times import date_text, day_of_year_text

# A pair is a day of any year, as month and day.
Value = str | int | float | datetime.date | tuple[int, int]

_DIFFERENCES = frozenset({"sun_adds_c"})  # °C by which something is warmer


class Reason(Protocol):
    """What is said: an English sentence and the values for its places.

    ``words``, where there is such an attribute, names the values that are English words to be translated first.
    """

    @property
    def sentence(self) -> str: ...

    @property
    def values(self) -> Mapping[str, Value]: ...


def said(reason: Reason) -> str:
    """The sentence of a reason, with its values as the reader's language writes them, in the units that they read."""
    words: Collection[str] = getattr(reason, "words", ())
    shown = {name: _shown(value, is_word=name in words) for name, value in reason.values.items()}
    sentence = amounts.with_customary(gettext(reason.sentence), reason.values, differences=_DIFFERENCES)
    return sentence.format(**shown)


def said_together(reasons: Iterable[Reason]) -> str:
    """The sentences of several reasons, one after the other."""
    return " ".join(said(each) for each in reasons)


def terms(*words: str) -> str:
    """Words of the trade side by side, such as an item and its size, in the reader's language; empty ones left out."""
    return " ".join(gettext(word) for word in words if word)


def _shown(value: Value, *, is_word: bool) -> str:
    if isinstance(value, tuple):
        return day_of_year_text(*value)
    if isinstance(value, datetime.date):
        return date_text(value)
    if isinstance(value, int | float):
        return number_format(value)
    return gettext(value) if is_word and value else value
