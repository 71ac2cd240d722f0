"""The best plan of a small day by trying every plan: slow, short, and so simple that it can be believed.

Only for days of about seven people and two zones.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from tests.trade.independent.limits import (
    BOOTS,
    JACKET,
    WADERS,
    Json,
    Limits,
    has_water,
    is_water_work,
    jacket_class,
    limits_of,
    sets_in_stock,
    spotters_needed,
    waders_fit,
)
from tests.trade.independent.pins import units_keep_pins
from tests.trade.independent.rules import has_first_aider, unit_breaches
from tests.trade.independent.shore import fewest_changes
from tests.trade.independent.values import UnitOf, goal_values, rank

Sets = dict[tuple[str, str], int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The values of the goals in the best plan, one plan that reaches them, and how many legal plans there are.

    ``changed`` is how many people must be told something new, 0 where nothing was told.
    """

    changed: int
    values: tuple[int, ...]
    units: tuple[UnitOf, ...]
    legal_plans: int


def best_plan(day: Json) -> Best | None:
    """The lexicographically best of all legal plans of the day, with the fewest changes before all goals.

    Without pins every day has one: nobody in water. None where the pins leave none.

    A unit of three needs no rule of its own here. With one at most, a plan has an odd number of people in water exactly
    when it has one, so a best plan has one only where no plan of pairs puts as many people in water.
    """
    limits = limits_of(day)
    zones = {zone["name"]: zone for zone in day["zones"]}
    sets = sets_in_stock(day)
    best: Best | None = None
    legal = 0
    for units in _plans(day["volunteers"], _units(day, limits)):
        if not (_zones_and_spotters_suffice(day, zones, units, limits) and _gear_suffices(zones, units, sets)):
            continue
        changes = fewest_changes(day, units, limits) if units_keep_pins(day, units) else None
        if changes is None:
            continue
        legal += 1
        values = goal_values(day, units)
        if best is None or (-changes, rank(values)) > (-best.changed, rank(best.values)):
            best = Best(changed=changes, values=values, units=units, legal_plans=0)
    if best is None:
        return None
    return Best(changed=best.changed, values=best.values, units=best.units, legal_plans=legal)


def most_equipped(people: Sequence[Json], sets: Sets) -> int:
    """How many of these people can have chest waders at once: their own, or one fitting set of the stock each."""
    return _most_shod(people, sets, WADERS, {WADERS})


def _most_shod(people: Sequence[Json], sets: Sets, lent: str, owned: set[str]) -> int:
    """How many can have something on their feet: a piece of their own that will do, or one fitting set that is lent."""
    bare = [person for person in people if not owned & set(person["own"])]
    labels = [size for (item, size), count in sets.items() if item == lent for _ in range(count)]
    return len(people) - len(bare) + _matched(bare, labels, waders_fit)


def _units(day: Json, limits: Limits) -> list[UnitOf]:
    """Every unit of two or three that is allowed by itself in a zone with water."""
    return [
        UnitOf(zone["name"], members)
        for zone in day["zones"]
        if has_water(zone)
        for size in (2, 3)
        for members in combinations(day["volunteers"], size)
        if not any(unit_breaches(zone, members, limits))
    ]


def _plans(people: Sequence[Json], units: Sequence[UnitOf]) -> Iterator[tuple[UnitOf, ...]]:
    """Every choice of units without a common member and with at most one unit of three."""
    if not people:
        yield ()
        return
    first, rest = people[0], people[1:]
    without_first = [unit for unit in units if first not in unit.members]
    yield from _plans(rest, without_first)
    for unit in units:
        if first in unit.members:
            free = [
                other
                for other in without_first
                if not any(member in unit.members for member in other.members)
                and not (len(unit.members) == len(other.members) == 3)
            ]
            for plan in _plans(rest, free):
                yield (unit, *plan)


def _zones_and_spotters_suffice(day: Json, zones: dict[str, Json], units: Sequence[UnitOf], limits: Limits) -> bool:
    """H9 and H10: room in each zone, adults left for the shore, an adult first-aider on the roster."""
    counts = Counter(unit.zone for unit in units)
    if not units:
        return True
    if any(count > (zones[name]["units_max"] or 0) for name, count in counts.items()):
        return False
    wet = {member["id"] for unit in units for member in unit.members}
    ashore = sum(person["adult"] and person["id"] not in wet for person in day["volunteers"])
    return has_first_aider(day) and ashore >= sum(spotters_needed(count, limits) for count in counts.values())


def _gear_suffices(zones: dict[str, Json], units: Sequence[UnitOf], sets: Sets) -> bool:
    """H5: waders and life jackets for everyone in water work at the same time; nobody barefoot in shallow water."""
    shallow = [member for unit in units if not is_water_work(zones[unit.zone]) for member in unit.members]
    if _most_shod(shallow, sets, BOOTS, {BOOTS, WADERS}) < len(shallow):
        return False
    deep = [member for unit in units if is_water_work(zones[unit.zone]) for member in unit.members]
    classes = Counter(jacket_class(person) for person in deep if JACKET not in person["own"])
    if any(count > sets.get((JACKET, size or ""), 0) for size, count in classes.items()):
        return False
    return most_equipped(deep, sets) == len(deep)


def _matched(people: Sequence[Json], labels: Sequence[str], fits: Callable[[Json, str], bool]) -> int:
    """Size of the largest matching of people to sets, by augmenting paths."""
    holder: dict[int, int] = {}

    def place(person: int, tried: set[int]) -> bool:
        for label in range(len(labels)):
            if label not in tried and fits(people[person], labels[label]):
                tried.add(label)
                if label not in holder or place(holder[label], tried):
                    holder[label] = person
                    return True
        return False

    return sum(place(person, set()) for person in range(len(people)))
