"""How pages name how decisive a character is, and the answers of the guided check."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from django.utils.functional import Promise, lazy
from django.utils.text import capfirst, format_lazy
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.trade.identification import CHARACTERS, Character, Weight

WEIGHTS: Mapping[Weight, Promise] = MappingProxyType(
    {
        Weight.COMPLETE: _("Decides: it separated the two completely in the study"),
        Weight.STRONG: _("Strong: outside the other reed's range"),
        Weight.MEDIUM: _("A tendency"),
        Weight.WEAK: _("A weak tendency: the two overlap"),
    }
)
ONLY_NATIVE = _("Decides where it points to the native reed; it never points to the introduced one")


def _in_readers_language(word: str) -> str:
    return capfirst(gettext(word))


# A word of the trade's table, translated at the moment it is printed. What is lazy has no type of its own.
translated: Any = lazy(_in_readers_language, str)


def how_to_look(character: Character) -> Any:
    """How to look at a character and how decisive it is, for the help of its field."""
    facts = CHARACTERS[character]
    weight = ONLY_NATIVE if facts.native_only else WEIGHTS[facts.weight]
    return format_lazy("{how} {weight}.", how=translated(facts.how), weight=weight)
