"""What the pages of the stock, and the plans that draw on it, read."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Sum

from reedcrew.people.models import Group
from reedcrew.people.queries import member_name
from reedcrew.stock.models import Movement, StockLine
from reedcrew.trade import day
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
    """A stock line and how many of it the group has."""

    line: StockLine
    on_hand: int

    @property
    def item(self) -> Item:
        return Item(self.line.item)

    @property
    def supply(self) -> Supply:
        if self.on_hand == 0:
            return Supply.NONE
        return Supply.FEW if self.on_hand <= FEW else Supply.THERE


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemCounts:
    """The lines of one item, smallest size first, and how many there are of all sizes."""

    item: Item
    lines: tuple[LineCount, ...]
    on_hand: int


def counts(group: Group) -> tuple[LineCount, ...]:
    """Every stock line of a group with its count, by the trade's list of items, smallest size first; one query."""
    found = [
        LineCount(line=line, on_hand=line.on_hand)  # type: ignore[attr-defined]  # annotated by with_count
        for line in StockLine.objects.of_group(group).with_count().select_related("group")
    ]
    return tuple(sorted(found, key=_place))


def _place(count: LineCount) -> tuple[int, int, str, int]:
    sizes = sizes_of(count.item)
    size = count.line.size
    return _ITEM_ORDER[count.item], sizes.index(size) if size in sizes else len(sizes), size, count.line.pk


def counts_by_item(group: Group) -> tuple[ItemCounts, ...]:
    """The counts of a group, put together by item; one query."""
    by_item: dict[Item, list[LineCount]] = {}
    for count in counts(group):
        by_item.setdefault(count.item, []).append(count)
    return tuple(
        ItemCounts(item=item, lines=tuple(lines), on_hand=sum(line.on_hand for line in lines))
        for item, lines in by_item.items()
    )


def trade_stock(group: Group) -> tuple[day.StockLine, ...]:
    """What of a group's stock a day can be given, as the rules of the trade read it; only lines that hold any."""
    return tuple(
        day.StockLine(item=count.item, size=count.line.size, count=count.on_hand)
        for count in counts(group)
        if count.on_hand
    )


def on_hand(line: StockLine) -> int:
    """How many of a line the group has: the sum of its movements."""
    return line.movements.aggregate(count=Sum("change"))["count"] or 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRow:
    """A movement with the count after it."""

    movement: Movement
    after: int


def ledger(line: StockLine) -> Sequence[LedgerRow]:
    """Every movement of a line with the count after it, the latest first; one query."""
    rows = []
    after = 0
    named = line.movements.annotate(recorded_by=member_name(group="line__group", account="made_by"))
    for movement in named.order_by("made_at", "pk"):
        after += movement.change
        rows.append(LedgerRow(movement=movement, after=after))
    return rows[::-1]
