"""What keeps a catalog from being complete and right, sentence by sentence."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from babel.messages.catalog import Catalog, Message

_PLACES = re.compile(r"%(?:\(\w+\))?[0-9.]*[a-zA-Z%]|\{\w*\}")
_TAGS = re.compile(r"</?\w+[^<>]*>")


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence of a catalog and what is wrong with it."""

    what: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.what}: {self.sentence}"


def problems(catalog: Catalog, collected: Catalog) -> list[Problem]:
    """Everything that differs from what the source says today, and every translation that could not be filled in."""
    wanted = {_key(message): message for message in collected if message.id}
    written = {_key(message): message for message in catalog if message.id}
    found = [Problem("missing", _shown(message)) for key, message in wanted.items() if key not in written]
    found += [Problem("said no more", _shown(message)) for key, message in written.items() if key not in wanted]
    for key in wanted.keys() & written.keys():
        found += _of_message(written[key], wanted[key], catalog.num_plurals)
    return sorted(found, key=lambda problem: (problem.what, problem.sentence))


def _key(message: Message) -> tuple[str | None, str]:
    return message.context, message.id if isinstance(message.id, str) else message.id[0]


def _forms(words: str | Sequence[str] | None) -> list[str]:
    """Singular and plurals, or the only form."""
    return [words or ""] if words is None or isinstance(words, str) else list(words)


def _shown(message: Message) -> str:
    _context, sentence = _key(message)
    return f"{sentence} ({message.context})" if message.context else sentence


def _of_message(written: Message, wanted: Message, forms_wanted: int) -> Iterator[Problem]:
    shown = _shown(wanted)
    if written.fuzzy:
        yield Problem("marked as doubtful", shown)
    originals, forms = _forms(wanted.id), _forms(written.string)
    is_plural, was_plural = len(originals) > 1, not isinstance(written.id, str)
    if is_plural != was_plural or (is_plural and len(forms) != forms_wanted):
        yield Problem(f"has not {forms_wanted if is_plural else 1} forms", shown)
    elif not all(forms):
        yield Problem("empty", shown)
    else:
        yield from (Problem(what, shown) for form in forms for what in _differences(form, originals))


def _differences(form: str, originals: list[str]) -> Iterator[str]:
    """Against the original; where there is a plural, against that form of the original which is nearer."""
    for what, kind in (("other places to fill in", _PLACES), ("other tags", _TAGS)):
        if sorted(kind.findall(form)) not in [sorted(kind.findall(original)) for original in originals]:
            yield what
    if all(_ends(form) != _ends(original) for original in originals):
        yield "other white space at the ends"


def _ends(words: str) -> tuple[str, str]:
    kept = words.strip(" \t\n")  # a space that does not break belongs to the sentence: French sets one before a colon
    return words.partition(kept)[0], words.rpartition(kept)[2]
