"""Chest waders and life jackets, of which one set serves one person (H5).

The labels that fit a boot are neighbours among the labels in stock. Waders can therefore be handed out to a group of
people exactly if no range of labels is asked of by more people than it holds sets (Hall's theorem for intervals), so
the solver needs no variable for who wears which set. It is handed out afterwards.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from reedcrew.trade.day import Day
from reedcrew.trade.items import Item
from reedcrew.trade.pairing.eligibility import Candidate, stock_of
from reedcrew.trade.plan import Allotment, Source
from reedcrew.trade.sizes import wader_labels


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """At most ``sets`` of these people can be in water work at once. Only limits that can bind are made."""

    people: tuple[str, ...]
    sets: int


def limits(day: Day, candidates: Sequence[Candidate]) -> Iterator[Limit]:
    """Every limit that the stock sets, for people without a set of their own."""
    yield from _wader_limits(stock_of(day, Item.CHEST_WADERS), candidates)
    yield from _jacket_limits(stock_of(day, Item.LIFE_JACKET), candidates)


def hand_out(day: Day, people: Iterable[Candidate]) -> dict[str, tuple[Allotment, ...]]:
    """Waders and a life jacket for each person in water work, own ones first.

    Of those who borrow, the person whose largest fitting label is smallest chooses first, then by id, and takes the
    smallest fitting label that is left: no other order serves more people. The people must keep ``limits``.
    """
    waders = dict(stock_of(day, Item.CHEST_WADERS))
    found: dict[str, tuple[Allotment, ...]] = {}
    for one in sorted(people, key=lambda one: (_order(one.wader_labels[-1]) if one.wader_labels else -1, one.id)):
        if one.owns_waders:
            boot = one.person.boot_eu
            size, source = ("" if boot is None else wader_labels(boot)[0]), Source.OWN
        else:
            size, source = next(label for label in one.wader_labels if waders[label] > 0), Source.STOCK
            waders[size] -= 1
        found[one.id] = (
            Allotment(item=Item.CHEST_WADERS, size=size, source=source),
            Allotment(
                item=Item.LIFE_JACKET,
                size="" if one.jacket_class is None else one.jacket_class.value,
                source=Source.OWN if one.owns_jacket else Source.STOCK,
            ),
        )
    return found


# --- Private ---------------------------------------------------------------------------------------------------------


def _order(label: str) -> int:
    return int(label)


def _wader_limits(stock: Mapping[str, int], candidates: Sequence[Candidate]) -> Iterator[Limit]:
    borrowers = [one for one in candidates if not one.owns_waders and one.wader_labels]
    labels = sorted({label for one in borrowers for label in one.wader_labels}, key=_order)
    for first, low in enumerate(labels):
        sets = 0
        for high in labels[first:]:
            sets += stock[high]
            inside = tuple(
                one.id
                for one in borrowers
                if _order(low) <= _order(one.wader_labels[0]) and _order(one.wader_labels[-1]) <= _order(high)
            )
            if len(inside) > sets:
                yield Limit(people=inside, sets=sets)


def _jacket_limits(stock: Mapping[str, int], candidates: Sequence[Candidate]) -> Iterator[Limit]:
    for size in sorted(stock):
        borrowers = tuple(
            one.id
            for one in candidates
            if not one.owns_jacket and one.jacket_class is not None and one.jacket_class.value == size
        )
        if len(borrowers) > stock[size]:
            yield Limit(people=borrowers, sets=stock[size])
