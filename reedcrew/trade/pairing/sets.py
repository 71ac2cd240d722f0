"""Chest waders, life jackets and boots, of which one set serves one person (H5, rule 5).

The labels that fit a foot are neighbours among the labels in stock. Waders can therefore be handed out to a group of
people exactly if no range of labels is asked of by more people than it holds sets (Hall's theorem for intervals), so
the solver needs no variable for who wears which set. It is handed out afterwards. Boots are the same in shallow water.
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
    """At most ``sets`` of these people can be in water work at once, or in shallow water where it is about boots.

    Only limits that can bind are made.
    """

    people: tuple[str, ...]
    sets: int
    in_water_work: bool


def limits(day: Day, candidates: Sequence[Candidate]) -> Iterator[Limit]:
    """Every limit that the stock sets, for people without a set of their own."""
    waders = [(one.id, one.wader_labels) for one in candidates if not one.owns_waders and one.wader_labels]
    boots = [(one.id, one.boot_labels) for one in candidates if not one.owns_footwear and one.boot_labels]
    yield from _label_limits(stock_of(day, Item.CHEST_WADERS), waders, in_water_work=True)
    yield from _label_limits(stock_of(day, Item.BOOTS), boots, in_water_work=False)
    yield from _jacket_limits(stock_of(day, Item.LIFE_JACKET), candidates)


def hand_out(day: Day, people: Iterable[Candidate]) -> dict[str, tuple[Allotment, ...]]:
    """Waders and a life jacket for each person in water work, own ones first. The people must keep ``limits``."""
    people = list(people)
    lent = _labels_lent(
        stock_of(day, Item.CHEST_WADERS), [(one.id, one.wader_labels) for one in people if not one.owns_waders]
    )
    return {
        one.id: (
            own_waders(one)
            if one.owns_waders
            else Allotment(item=Item.CHEST_WADERS, size=lent[one.id], source=Source.STOCK),
            Allotment(
                item=Item.LIFE_JACKET,
                size="" if one.jacket_class is None else one.jacket_class.value,
                source=Source.OWN if one.owns_jacket else Source.STOCK,
            ),
        )
        for one in people
    }


def hand_out_footwear(day: Day, people: Iterable[Candidate]) -> dict[str, tuple[Allotment, ...]]:
    """Boots of the stock, or waders of their own, for each person in shallow water who brings no boots.

    The people must keep ``limits``.
    """
    bare = [one for one in people if Item.BOOTS not in one.person.own]
    lent = _labels_lent(stock_of(day, Item.BOOTS), [(one.id, one.boot_labels) for one in bare if not one.owns_waders])
    return {
        one.id: (
            own_waders(one) if one.owns_waders else Allotment(item=Item.BOOTS, size=lent[one.id], source=Source.STOCK),
        )
        for one in bare
    }


def own_waders(one: Candidate) -> Allotment:
    """Chest waders that a person brings; the size is "" where their boot size is unknown."""
    boot = one.person.boot_eu
    return Allotment(item=Item.CHEST_WADERS, size="" if boot is None else wader_labels(boot)[0], source=Source.OWN)


# --- Private ---------------------------------------------------------------------------------------------------------

Fitting = tuple[str, tuple[str, ...]]  # a person and the labels in stock that fit, smallest first


def _order(label: str) -> int:
    return int(label)


def _labels_lent(stock: Mapping[str, int], borrowers: Sequence[Fitting]) -> dict[str, str]:
    """A label for each person.

    The person whose largest fitting label is smallest chooses first, then by id, and takes the smallest fitting label
    that is left: no other order serves more people.
    """
    left = dict(stock)
    found = {}
    for person, labels in sorted(borrowers, key=lambda borrower: (_order(borrower[1][-1]), borrower[0])):
        found[person] = next(label for label in labels if left[label] > 0)
        left[found[person]] -= 1
    return found


def _label_limits(stock: Mapping[str, int], borrowers: Sequence[Fitting], *, in_water_work: bool) -> Iterator[Limit]:
    labels = sorted({label for _, fitting in borrowers for label in fitting}, key=_order)
    for first, low in enumerate(labels):
        sets = 0
        for high in labels[first:]:
            sets += stock[high]
            inside = tuple(
                person
                for person, fitting in borrowers
                if _order(low) <= _order(fitting[0]) and _order(fitting[-1]) <= _order(high)
            )
            if len(inside) > sets:
                yield Limit(people=inside, sets=sets, in_water_work=in_water_work)


def _jacket_limits(stock: Mapping[str, int], candidates: Sequence[Candidate]) -> Iterator[Limit]:
    for size in sorted(stock):
        borrowers = tuple(
            one.id
            for one in candidates
            if not one.owns_jacket and one.jacket_class is not None and one.jacket_class.value == size
        )
        if len(borrowers) > stock[size]:
            yield Limit(people=borrowers, sets=stock[size], in_water_work=True)
