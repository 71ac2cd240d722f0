"""Judging rows of earlier work: each becomes a line, or errors that name its row and column."""

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from enum import StrEnum
from itertools import islice
from types import MappingProxyType
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from reedcrew.grants import errors
from reedcrew.grants.earlier.cells import CellWrong, DateOrder, day_of, minutes_of, stems_of, text_of
from reedcrew.grants.earlier.spreadsheet import CELL_LENGTH_MAX, Cell, Row, column_name
from reedcrew.grants.models import KINDS, EarlierBatch, EarlierLine, HourEntry
from reedcrew.people.models import Group, Member
from reedcrew.people.models.member import new_code
from reedcrew.stands.models import Stand
from reedcrew.trade.valuation import Kind
from reedcrew.web.lengths import length_of

ERRORS_SHOWN = 50
SAMPLE_ROWS = 8
CHUNK = 1000  # rows that are in memory at once
KNOWN_MAX = 5000  # different cells of one column whose meaning is kept
_NAME_LENGTH, _NOTE_LENGTH = (length_of(EarlierLine, name) for name in ("name", "note"))


class Column(StrEnum):
    """What a column can hold."""

    DATE = "date"
    PERSON = "person"
    STAND = "stand"
    HOURS = "hours"
    KIND = "kind"
    STEMS = "stems"
    NOTE = "note"


REQUIRED = (Column.DATE, Column.PERSON, Column.STAND, Column.HOURS)
COLUMN_WORDS: Mapping[Column, Any] = MappingProxyType(
    {
        Column.DATE: gettext_lazy("Date"),
        Column.PERSON: gettext_lazy("Person"),
        Column.STAND: gettext_lazy("Stand"),
        Column.HOURS: gettext_lazy("Hours"),
        Column.KIND: gettext_lazy("Kind of hour"),
        Column.STEMS: gettext_lazy("Stems"),
        Column.NOTE: gettext_lazy("Note"),
    }
)
# Words in a head by which a column is guessed; the reader sees the guess and can change it.
_GUESSES: Mapping[Column, tuple[str, ...]] = MappingProxyType(
    {
        Column.DATE: ("date", "day"),
        Column.PERSON: ("person", "name", "volunteer", "who"),
        Column.STAND: ("stand", "place", "site", "where"),
        Column.HOURS: ("hours", "time", "length"),
        Column.KIND: ("kind", "type"),
        Column.STEMS: ("stems", "cut"),
        Column.NOTE: ("note", "remark", "comment"),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapped:
    """Where each column stands, counted from 0, and how days are written."""

    columns: Mapping[Column, int]
    order: DateOrder = DateOrder.YEAR_FIRST


@dataclass(frozen=True, slots=True, kw_only=True)
class RowError:
    """What is wrong in one cell: the row as a spreadsheet program numbers it, the column with its head."""

    row: int
    column: str
    value: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A row that is right."""

    row: int
    date: datetime.date
    stand_id: int
    member_id: int | None
    name: str
    code: str
    kind: str
    minutes: int
    stems: int | None
    note: str

    def of_batch(self, batch: EarlierBatch) -> EarlierLine:
        """The line as a row of the table, not written."""
        values = {each.name: getattr(self, each.name) for each in fields(self)}
        return EarlierLine(batch=batch, group_id=batch.group_id, **values)


@dataclass(slots=True, kw_only=True)
class Judged:
    """What was found in all rows. ``errors`` holds the first ones; ``error_count`` counts all."""

    rows: int = 0
    minutes: int = 0
    stems: int = 0
    first: datetime.date | None = None
    last: datetime.date | None = None
    people: set[str] = field(default_factory=set)  # codes
    members: set[int] = field(default_factory=set)
    sample: list[Line] = field(default_factory=list)
    errors: list[RowError] = field(default_factory=list)
    error_count: int = 0

    def add(self, line: Line) -> None:
        self.rows += 1
        self.minutes += line.minutes
        self.stems += line.stems or 0
        self.first = min(self.first or line.date, line.date)
        self.last = max(self.last or line.date, line.date)
        self.people.add(line.code)
        if line.member_id is not None:
            self.members.add(line.member_id)
        if len(self.sample) < SAMPLE_ROWS:
            self.sample.append(line)

    def refuse(self, error: RowError) -> None:
        self.error_count += 1
        if len(self.errors) < ERRORS_SHOWN:
            self.errors.append(error)


def guess(head: Iterable[Cell]) -> dict[Column, int]:
    """The columns by the words in the head, each column of the file at most once."""
    words = [str(cell or "").casefold() for cell in head]
    found: dict[Column, int] = {}
    for column, known in _GUESSES.items():
        for number, word in enumerate(words):
            if number not in found.values() and any(each in word for each in known):
                found[column] = number
                break
    return found


class Judge:
    """Judges the rows of one group's file. Names and stands of the group are read once."""

    def __init__(self, group: Group, mapped: Mapped, head: Iterable[Cell], today: datetime.date) -> None:
        self._group, self._mapped = group, mapped
        self._head = [str(cell or "") for cell in head]
        self._stands = _stands_of(group)
        members = Member.objects.filter(group=group).order_by("left_at", "pk")
        self._members: dict[str, list[tuple[int, str]]] = {}
        for key, name, code in members.values_list("pk", "name", "code"):
            for each in {name.casefold(), code.casefold()}:
                self._members.setdefault(each, []).append((key, code))
        known = EarlierLine.objects.of_group(group).filter(member=None).order_by().values_list("name", "code")
        self._codes = {name.casefold(): code for name, code in known.distinct()}
        taken = EarlierBatch.objects.filter(group=group, state=EarlierBatch.State.IMPORTED)
        self._batches = list(taken.values_list("pk", flat=True))
        self._readers: Mapping[Column, Callable[[Cell], Any]] = {
            Column.DATE: lambda cell: day_of(cell, mapped.order, today),
            Column.PERSON: self._person,
            Column.STAND: self._stand,
            Column.HOURS: minutes_of,
            Column.KIND: self._kind,
            Column.STEMS: stems_of,
            Column.NOTE: lambda cell: text_of(cell, _NOTE_LENGTH),
        }
        self._known: dict[Column, dict[tuple[type, Cell], tuple[Any, str]]] = {column: {} for column in Column}
        self._kinds = {word: value for value, label in KINDS for word in (value, str(label).casefold())}

    def judge(self, rows: Iterator[Row], keep: Callable[[list[Line]], None] | None = None) -> Judged:
        """Judge all rows after the head. While nothing is wrong, ``keep`` is given the lines, some at a time."""
        judged = Judged()
        while chunk := list(islice(rows, CHUNK)):
            lines = [line for row in chunk if (line := self._line(row, judged)) is not None]
            self._ask_not_twice(lines, judged)
            for line in lines:
                judged.add(line)
            if keep is not None and not judged.error_count:
                keep(lines)
        if not judged.rows and not judged.error_count:
            raise errors.NoRows
        return judged

    # --- Private -----------------------------------------------------------------------------------------------------

    def _line(self, row: Row, judged: Judged) -> Line | None:
        number, cells = row
        values: dict[Column, Any] = {}
        for column, read in self._readers.items():
            place = self._mapped.columns.get(column)
            cell = cells[place] if place is not None and place < len(cells) else None
            value, wrong = self._said(column, read, cell)
            values[column] = value
            if wrong:
                judged.refuse(self._error(number, column, cell, wrong))
                values.clear()
                break
        if not values:
            return None
        member, name, code = values[Column.PERSON]
        return Line(
            row=number,
            date=values[Column.DATE],
            stand_id=values[Column.STAND],
            member_id=member,
            name=name,
            code=code,
            kind=values[Column.KIND],
            minutes=values[Column.HOURS],
            stems=values[Column.STEMS],
            note=values[Column.NOTE],
        )

    def _said(self, column: Column, read: Callable[[Cell], Any], cell: Cell) -> tuple[Any, str]:
        """What a cell means, or what is wrong with it. Cells repeat down a column, so what was read is kept."""
        known, key = self._known[column], (cell.__class__, cell)
        if key not in known:
            if len(known) >= KNOWN_MAX:
                known.clear()
            try:
                if column in REQUIRED and cell in (None, ""):
                    raise CellWrong(_("This cell is empty: every row needs it."))
                known[key] = read(cell), ""
            except CellWrong as wrong:
                known[key] = None, str(wrong)
        return known[key]

    def _person(self, cell: Cell) -> tuple[int | None, str, str]:
        name = text_of(cell, _NAME_LENGTH)
        found = self._members.get(name.casefold(), [])
        if len(found) > 1:
            codes = ", ".join(code for _key, code in found)
            raise CellWrong(_("Several people of the group have this name: write the code instead (%s).") % codes)
        if found:
            member, code = found[0]
            return member, name, code
        if name.casefold() not in self._codes:
            self._codes[name.casefold()] = new_code()
        return None, name, self._codes[name.casefold()]

    def _stand(self, cell: Cell) -> int:
        found = self._stands.get(text_of(cell, CELL_LENGTH_MAX).casefold(), set())
        if not found:
            raise CellWrong(
                _("The group has no stand of this name: record it first, or write the name as it is there.")
            )
        if len(found) > 1:
            raise CellWrong(_("Several stands have this name: write site and stand, such as “North bay / Landing”."))
        return next(iter(found))

    def _kind(self, cell: Cell) -> str:
        text = text_of(cell, CELL_LENGTH_MAX).casefold()
        if not text:
            return Kind.FIELD.value
        if text not in self._kinds:
            known = ", ".join(str(word) for _value, word in KINDS)
            raise CellWrong(_("Write one of: %(known)s; or nothing for field work.") % {"known": known})
        return self._kinds[text]

    def _ask_not_twice(self, lines: list[Line], judged: Judged) -> None:
        """Hours that the ledger or an earlier import has of a person on a date are not taken again."""
        dates = {line.date for line in lines}
        members = {line.member_id for line in lines if line.member_id is not None}
        ledger = HourEntry.objects.of_group(self._group).standing().filter(member__in=members, date__in=dates)
        there = set(ledger.order_by().values_list("member", "date"))
        before: set[tuple[Any, ...]] = set()
        if self._batches:
            imported = EarlierLine.objects.filter(batch__in=self._batches, date__in=dates).order_by()
            before = set(imported.values_list("code", "date", "stand", "kind", "minutes"))
        for line in lines:
            if (line.member_id, line.date) in there:
                sentence = _("The ledger has hours of this person on that day already.")
                judged.refuse(self._error(line.row, Column.DATE, line.date.isoformat(), sentence))
            elif (line.code, line.date, line.stand_id, line.kind, line.minutes) in before:
                sentence = _("An earlier import has this line already.")
                judged.refuse(self._error(line.row, Column.DATE, line.date.isoformat(), sentence))

    def _error(self, row: int, column: Column, cell: Cell, sentence: str) -> RowError:
        place = self._mapped.columns.get(column)
        shown = str(COLUMN_WORDS[column])
        if place is not None:
            head = self._head[place] if place < len(self._head) else ""
            shown = f"{column_name(place)} ({head or shown})"
        return RowError(row=row, column=shown, value=str("" if cell is None else cell)[:80], sentence=sentence)


def _stands_of(group: Group) -> dict[str, set[int]]:
    """Keys of stands by their name, and by site and name."""
    found: dict[str, set[int]] = {}
    for key, name, site in Stand.objects.of_group(group).values_list("pk", "name", "site__name"):
        for each in (name, f"{site} / {name}"):
            found.setdefault(each.casefold(), set()).add(key)
    return found
