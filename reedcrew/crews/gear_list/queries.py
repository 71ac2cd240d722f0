"""The gear list of a day with sources, what is short, and the packing list by the places where gear is kept."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.formats import number_format
from django.utils.translation import gettext

from reedcrew.crews.gear.outings import outing_of
from reedcrew.crews.queries import GearListLine, PlanSheet, plan_sheet
from reedcrew.stock.models import GearSet, Place, StockLine
from reedcrew.stock.queries import free_sets, group_counts, standing_bookings, states_of_group
from reedcrew.trade.gear.norms import PIECE
from reedcrew.trade.gear.sources import SOURCES
from reedcrew.trade.items import Item
from reedcrew.web.sentences import terms
from reedcrew.workdays.models import WorkDay

ItemSize = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcedLine:
    """A line of the list with the source of its rule."""

    line: GearListLine
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackLine:
    """What to take from one place: so many pieces, or sets by the number on their labels."""

    item: str
    size: str
    number: int
    unit: str
    sets: Sequence[int]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crate:
    """A place where gear is kept, "" where nobody wrote it down, and what to take from there."""

    place: str
    lines: Sequence[PackLine]


@dataclass(frozen=True, slots=True, kw_only=True)
class GearList:
    """Everything of the gear list page."""

    sheet: PlanSheet
    lines: Sequence[SourcedLine]
    not_needed: Sequence[str]
    crates: Sequence[Crate]

    @property
    def short(self) -> list[GearListLine]:
        """What to borrow or buy."""
        return [each.line for each in self.lines if each.line.short]

    @property
    def shopping(self) -> str:
        """What is short as plain text, one line each, to be copied into a message."""
        return "\n".join(f"{amount_text(line.short, line.unit)} {name_of(line)}" for line in self.short)


def name_of(line: GearListLine | PackLine) -> str:
    """Item and size in the reader's language."""
    return terms(line.item, line.size)


def amount_text(amount: float, unit: str) -> str:
    """How many pieces, or litres and the like with their unit."""
    places = 0 if float(amount).is_integer() else 1
    number = number_format(round(amount, places), decimal_pos=places)
    return f"{number} ×" if unit == PIECE else f"{number} {gettext(unit)}"


def gear_list(day: WorkDay) -> GearList:
    """The gear list of the plan that counts. The number of queries does not grow with roster or stock."""
    sheet = plan_sheet(day)
    lines = [SourcedLine(line=line, source=SOURCES[Item(line.item)]) for line in sheet.gear]
    needed = {each.line.item for each in lines}
    return GearList(
        sheet=sheet,
        lines=lines,
        not_needed=[item.value for item in Item if item.value not in needed] if lines else [],
        crates=_crates(day, sheet.gear),
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _crates(day: WorkDay, gear: Sequence[GearListLine]) -> list[Crate]:
    stock = _Stock(day)
    by_place: dict[str, list[PackLine]] = {}
    for line in gear:
        wanted = math.ceil(min(max(line.needed - line.own, 0), line.in_stock))
        for place, packed in stock.take(line, wanted):
            by_place.setdefault(place, []).append(packed)
    # A place without a name comes last: somebody has to look.
    return [
        Crate(place=place, lines=by_place[place]) for place in sorted(by_place, key=lambda place: (not place, place))
    ]


class _Stock:
    """Where the pieces are that the day can be given; each is taken once."""

    def __init__(self, day: WorkDay) -> None:
        group = day.group
        booked = {
            each.gear_set_id for each in standing_bookings(group, day.pk)
        }  # the sets that people are promised come first
        self._sets: dict[ItemSize, list[GearSet]] = {}
        for state in sorted(free_sets(group, outing_of(day)), key=lambda state: state.gear_set.pk not in booked):
            line = state.gear_set.line
            self._sets.setdefault((line.item, line.size), []).append(state.gear_set)
        self._places = {state.gear_set.shelf for state in states_of_group(group)}
        counted = group_counts(group, counted_only=True)
        self._lines: dict[str, list[StockLine]] = {}
        self._left: Counter[int] = Counter()
        for stock_line in StockLine.objects.of_group(group):
            self._lines.setdefault(stock_line.item, []).append(stock_line)
            places = counted.get(stock_line.pk)
            self._left[stock_line.pk] = places[Place.SHELF] if places else 0
        notes = Counter(line.note for lines in self._lines.values() for line in lines)
        self._places |= {note for note, number in notes.items() if number > 1}

    def take(self, line: GearListLine, wanted: int) -> Iterator[tuple[str, PackLine]]:
        """Sets first, then counted pieces, by the place where they are kept."""
        sets = self._sets.get((line.item, line.size), [])
        taken, self._sets[line.item, line.size] = sets[:wanted], sets[wanted:]
        by_shelf: dict[str, list[int]] = {}
        for each in taken:
            by_shelf.setdefault(each.shelf or each.line.note, []).append(each.number)
        for shelf, numbers in by_shelf.items():
            yield shelf, _packed(line, len(numbers), sorted(numbers))
        wanted -= len(taken)
        # An item without sizes may lie in lines that call it by some size of their own.
        for stock_line in self._lines.get(line.item, ()):
            if line.size and stock_line.size != line.size:
                continue
            number = min(wanted, self._left[stock_line.pk])
            if number > 0:
                self._left[stock_line.pk] -= number
                wanted -= number
                # A line has no field for its place; its note is one where other gear is kept there too.
                note = stock_line.note
                place = note if note in self._places else ""
                yield place, _packed(line, number, (), note="" if place else note)


def _packed(line: GearListLine, number: int, sets: Sequence[int], *, note: str = "") -> PackLine:
    return PackLine(item=line.item, size=line.size, number=number, unit=line.unit, sets=sets, note=note)
