"""Lines of the stock with their counts, and the ledger of one line."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.people.models import Group
from reedcrew.people.queries import member_name
from reedcrew.stock.models import Movement, Place, StockLine
from reedcrew.stock.queries.counting import PlaceCounts, group_counts
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import sizes_of

FEW = 2  # so many or fewer are pointed out (convention: one pair of people can be served)

_ITEM_ORDER = {item: place for place, item in enumerate(Item)}


class Supply(StrEnum):
    """How a line's count is put in words."""

    NONE = "none"
    FEW = "few"
    THERE = "there"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCount:
    """A stock line and how many of it are where."""

    line: StockLine
    places: PlaceCounts

    @property
    def item(self) -> Item:
        return Item(self.line.item)

    @property
    def on_hand(self) -> int:
        """In stock, clean and dry."""
        return self.places[Place.SHELF]

    @property
    def out(self) -> int:
        return self.places[Place.ISSUED]

    @property
    def to_care(self) -> int:
        """Back, and not yet both clean and dry."""
        return self.places[Place.USED] + self.places[Place.AIRED] + self.places[Place.WASHED]

    @property
    def away(self) -> int:
        """In need of repair, or lent to others."""
        return self.places[Place.REPAIR] + self.places[Place.LENT]

    @property
    def supply(self) -> Supply:
        if self.on_hand == 0:
            return Supply.NONE
        return Supply.FEW if self.on_hand <= FEW else Supply.THERE

    @property
    def elsewhere(self) -> list[tuple[str, int]]:
        """The words of each other place that holds any, with the count."""
        return [
            (str(place.label), self.places[place])
            for place in Place
            if place not in {Place.OUTSIDE, Place.SHELF} and self.places[place]
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemCounts:
    """The lines of one item, smallest size first, and how many of all sizes are in stock."""

    item: Item
    lines: tuple[LineCount, ...]
    on_hand: int


def counts(group: Group) -> tuple[LineCount, ...]:
    """Every stock line of a group with its counts, by the trade's list of items, smallest size first; two queries."""
    places = group_counts(group)
    return tuple(LineCount(line=line, places=places.get(line.pk, PlaceCounts())) for line in lines_in_order(group))


def lines_in_order(group: Group) -> list[StockLine]:
    """Every stock line of a group, by the trade's list of items, smallest size first; one query."""
    return sorted(StockLine.objects.of_group(group).select_related("group"), key=_order)


def _order(line: StockLine) -> tuple[int, int, str, int]:
    item = Item(line.item)
    sizes = sizes_of(item)
    return _ITEM_ORDER[item], sizes.index(line.size) if line.size in sizes else len(sizes), line.size, line.pk


def counts_by_item(group: Group) -> tuple[ItemCounts, ...]:
    """The counts of a group, put together by item; two queries."""
    by_item: dict[Item, list[LineCount]] = {}
    for count in counts(group):
        by_item.setdefault(count.item, []).append(count)
    return tuple(
        ItemCounts(item=item, lines=tuple(lines), on_hand=sum(line.on_hand for line in lines))
        for item, lines in by_item.items()
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRow:
    """A movement with the count in stock after it."""

    movement: Movement
    change: int
    after: int


def ledger(line: StockLine) -> Sequence[LedgerRow]:
    """Every movement of a line with the count in stock after it, the latest first; one query."""
    rows = []
    after = 0
    named = line.movements.select_related("entry", "gear_set", "member", "occasion", "loan").annotate(
        recorded_by=member_name(group="line__group", account="entry__made_by")
    )
    for movement in named.order_by("pk"):
        change = movement.number * ((movement.target == Place.SHELF) - (movement.source == Place.SHELF))
        after += change
        rows.append(LedgerRow(movement=movement, change=change, after=after))
    return rows[::-1]
