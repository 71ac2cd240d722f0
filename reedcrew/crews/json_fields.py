"""Reads the fields of JSON objects one by one and collects every fault by its place."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TypeVar

from reedcrew.trade.errors import Faults

Json = str | int | float | bool | None | Sequence["Json"] | Mapping[str, "Json"]
Parsed = TypeVar("Parsed")

TEXT_LENGTH_MAX = 200
LIST_LENGTH_MAX = 1000


class Reader(Faults):
    """The faults and the unknown fields of one JSON value."""

    def __init__(self) -> None:
        super().__init__()
        self._unknown: list[str] = []

    def note_unknown(self, where: str) -> None:
        """Note a field that nobody knows."""
        self._unknown.append(where)

    def unknown_fields(self) -> tuple[str, ...]:
        """Unknown fields by their places, once for all entries of a list: ``volunteers[].name``."""
        return tuple(dict.fromkeys(re.sub(r"\[[0-9]+\]", "[]", where) for where in self._unknown))

    def object_at(self, value: Json, where: str) -> "JsonFields":
        """The fields of an object; none, and a fault, if the value is something else."""
        fits = isinstance(value, Mapping)
        self.unless(fits, where, f"must be an object, not {kind_of(value)}")
        return JsonFields(self, value if isinstance(value, Mapping) else {}, where, missing=not fits)


class JsonFields:
    """One object's fields. Every method takes a field's name; a fault gives the place, and a harmless value goes on.

    A field that is absent or null is unknown: None, False, "" or empty. It is a fault only where it is required.
    """

    def __init__(self, reader: Reader, fields: Mapping[str, Json], where: str, *, missing: bool = False) -> None:
        self._reader = reader
        self._fields = fields
        self._where = where
        self._missing = missing  # one fault was noted for the object; its fields need none
        self._read: set[str] = set()

    def names(self) -> tuple[str, ...]:
        """Names of the fields that are there."""
        return tuple(self._fields)

    def is_absent(self, name: str) -> bool:
        """Whether a field is absent or null."""
        self._read.add(name)
        return self._fields.get(name) is None

    def unless(self, fits: bool, name: str, message: str) -> None:
        """Note a fault of a field unless it fits."""
        self._reader.unless(fits or self._missing, self._place(name), message)

    def close(self) -> None:
        """Note each field that nobody read."""
        for name in self._fields:
            if name not in self._read:
                self._reader.note_unknown(self._place(name))

    def object_at(self, name: str) -> "JsonFields":
        """A field that must be an object."""
        if self._missing:
            return JsonFields(self._reader, {}, self._place(name), missing=True)
        return self._reader.object_at(self._get(name), self._place(name))

    def objects(self, name: str, *, most: int, required: bool = False) -> Iterator["JsonFields"]:
        """The objects of a list of at most so many."""
        self.unless(not required or self._get(name) is not None, name, "must be a list")
        for place, value in enumerate(self._list(name, most)):
            yield self._reader.object_at(value, f"{self._place(name)}[{place}]")

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts."""
        found = []
        for place, value in enumerate(self._list(name, LIST_LENGTH_MAX)):
            fits = isinstance(value, str) and 0 < len(value) <= TEXT_LENGTH_MAX
            self.unless(fits, f"{name}[{place}]", f"must be text of 1 to {TEXT_LENGTH_MAX} characters")
            found.append(value if isinstance(value, str) else "")
        return tuple(found)

    def text(self, name: str, *, required: bool = True) -> str:
        """A text that is not empty."""
        value = self._get(name)
        if value is None and not required:
            return ""
        fits = isinstance(value, str) and 0 < len(value) <= TEXT_LENGTH_MAX
        self.unless(fits, name, f"must be text of 1 to {TEXT_LENGTH_MAX} characters, not {kind_of(value)}")
        return value if isinstance(value, str) else ""

    def size(self, name: str) -> str:
        """A size as text; a whole number is taken as its digits, and null as no size."""
        value = self._get(name)
        if value is None:
            return ""
        if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 10**TEXT_LENGTH_MAX:
            return str(value)
        fits = isinstance(value, str) and len(value) <= TEXT_LENGTH_MAX
        self.unless(fits, name, f"must be text like 43 or adult, not {kind_of(value)}")
        return value.strip() if isinstance(value, str) else ""

    def flag(self, name: str, *, required: bool = False) -> bool:
        """True or false."""
        value = self._get(name)
        if value is None and not required:
            return False
        self.unless(isinstance(value, bool), name, f"must be true or false, not {kind_of(value)}")
        return value is True

    def number(self, name: str, low: float, high: float, *, required: bool = False) -> float | None:
        """A number in a range, both ends allowed."""
        value = self._get(name)
        if value is None and not required:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.unless(False, name, f"must be a number from {low:g} to {high:g}, not {kind_of(value)}")
            return None
        if not low <= value <= high:
            self.unless(False, name, f"must be from {low:g} to {high:g}")
            return None
        return value

    def whole(self, name: str, low: float, high: float, *, required: bool = False) -> int | None:
        """A whole number in a range, both ends allowed."""
        value = self.number(name, low, high, required=required)
        if value is None:
            return None
        self.unless(value == int(value), name, "must be a whole number")
        return int(value)

    def parsed(self, name: str, parse: Callable[[str], Parsed], message: str) -> Parsed | None:
        """A required text as something else; ``parse`` raises ValueError for a text that does not fit."""
        value = self._get(name)
        if isinstance(value, str):
            try:
                return parse(value)
            except ValueError:
                pass
        self.unless(False, name, message)
        return None

    # --- Private -----------------------------------------------------------------------------------------------------

    def _get(self, name: str) -> Json:
        self._read.add(name)
        return self._fields.get(name)

    def _list(self, name: str, most: int) -> Sequence[Json]:
        value = self._get(name)
        if value is None:
            return ()
        fits = isinstance(value, Sequence) and not isinstance(value, str)
        self.unless(fits, name, f"must be a list, not {kind_of(value)}")
        if not isinstance(value, Sequence) or isinstance(value, str):
            return ()
        self.unless(len(value) <= most, name, f"must have at most {most} entries, not {len(value)}")
        return value[:most]

    def _place(self, name: str) -> str:
        return f"{self._where}.{name}" if self._where else name


def kind_of(value: Json) -> str:
    """What a JSON value is, in words."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, str):
        return "text"
    if isinstance(value, int | float):
        return "a number"
    return "an object" if isinstance(value, Mapping) else "a list"
