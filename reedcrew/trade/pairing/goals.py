"""What makes one plan better than another: the five ordered goals, as pure functions of finished units.

The first goal in which two plans differ decides between them (design, "what is best, in this order"):

1. ``people_in_water``, the more the better;
2. ``wishes_honoured``, the more the better;
3. ``unseasoned_units``, the fewer the better;
4. ``repeated_pairs``, the fewer the better;
5. ``stature_mismatch``, the less the better.

The functions take any objects with a zone's name and members' ids, so that a search that knows nothing of the solver
can be judged by the same values. They do not ask whether the units keep the hard rules.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations
from typing import Protocol

from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.pairing.zones import open_water

MAXIMISED = (True, True, False, False, False)  # by goal, in the order above


class PlacedUnit(Protocol):
    """The people who stay together in one zone. ``plan.Unit`` is one."""

    @property
    def zone(self) -> str: ...

    @property
    def members(self) -> tuple[str, ...]: ...


def is_seasoned(person: Volunteer, day: Day) -> bool:
    """Whether a person counts as seasoned in goal 3: ``policy.seasoned_water_days`` or more earlier water days."""
    return person.water_days >= day.policy.seasoned_water_days


def wishes_between(one: Volunteer, other: Volunteer) -> int:
    """Wishes of two people to work with each other: 0, 1 or 2, each direction counts."""
    return (other.id in one.wishes) + (one.id in other.wishes)


def is_repeat(one: Volunteer, other: Volunteer) -> bool:
    """Whether two people were partners in the last three days, as either's record says."""
    return other.id in one.recent or one.id in other.recent


def people_in_water(units: Iterable[PlacedUnit]) -> int:
    """Goal 1: people in units."""
    return sum(len(unit.members) for unit in units)


def wishes_honoured(day: Day, units: Iterable[PlacedUnit]) -> int:
    """Goal 2: wishes whose two people are in one unit, each direction counted."""
    people = _people(day)
    return sum(wishes_between(people[one], people[other]) for one, other in _pairs(units))


def unseasoned_units(day: Day, units: Iterable[PlacedUnit]) -> int:
    """Goal 3: units in which nobody is seasoned."""
    people = _people(day)
    return sum(not any(is_seasoned(people[member], day) for member in unit.members) for unit in units)


def repeated_pairs(day: Day, units: Iterable[PlacedUnit]) -> int:
    """Goal 4: pairs within units who were partners in the last three days. Each pair counts once."""
    people = _people(day)
    return sum(is_repeat(people[one], people[other]) for one, other in _pairs(units))


def stature_mismatch(day: Day, units: Iterable[PlacedUnit]) -> int:
    """Goal 5: the sum of ``stature_costs`` over everyone in a unit, in levels of depth."""
    costs = stature_costs(day)
    return sum(costs[member, unit.zone] for unit in units for member in unit.members)


def objective(day: Day, units: Sequence[PlacedUnit]) -> tuple[int, int, int, int, int]:
    """All five goals' values, in order."""
    return (
        people_in_water(units),
        wishes_honoured(day, units),
        unseasoned_units(day, units),
        repeated_pairs(day, units),
        stature_mismatch(day, units),
    )


def stature_costs(day: Day) -> Mapping[tuple[str, str], int]:
    """How many levels of depth each person would stand away from their place in each open zone with water.

    Keys are (person's id, zone's name) for everyone who is ready for water (H4) and whose stature is known; they are
    the n *waders* below. A convention of this project, exactly:

    - *Levels* are the distinct depths of the open zones with water (``zones.open_water``), numbered from 0, the
      shallowest. With u(l) the sum of ``units_max`` of the zones of level l and U the sum over all, level l has the
      span from (u(0) + … + u(l−1)) / U up to (u(0) + … + u(l)) / U.
    - A wader with a waders who are strictly shorter and b who are strictly taller has the span from a / n up to
      (n − b) / n.
    - Where the two spans overlap (share more than an end point), the cost of the wader in that level is 0. Elsewhere
      it is the number of levels to the nearest level whose span overlaps the wader's.

    So the cost of a plan is 0 when, the waders standing in a row by stature, the shortest fill the shallowest zone's
    share of the places and the tallest the deepest one's; people of equal stature may swap. A person one level off
    adds 1, two levels off 2.
    """
    zones = open_water(day)
    waders = {
        person.id: person.stature_cm
        for person in day.volunteers
        if person.water_ready and person.stature_cm is not None
    }
    depths = sorted({zone.depth_cm for zone in zones})
    ends = _level_ends(zones, depths)
    statures = sorted(waders.values())
    costs: dict[tuple[str, str], int] = {}
    for person, stature_cm in waders.items():
        # Both spans are taken times n × U, so that all is whole numbers.
        low = bisect_left(statures, stature_cm) * ends[-1]
        high = bisect_right(statures, stature_cm) * ends[-1]
        fitting = [
            level
            for level in range(len(depths))
            if ends[level] * len(waders) < high and low < ends[level + 1] * len(waders)
        ]
        for zone in zones:
            costs[person, zone.name] = min(abs(depths.index(zone.depth_cm) - level) for level in fitting)
    return costs


def _level_ends(zones: Iterable[Zone], depths: Sequence[int]) -> list[int]:
    """Running sums of places, from 0: entries l and l + 1 are the ends of level l's span."""
    places = dict.fromkeys(depths, 0)
    for zone in zones:
        places[zone.depth_cm] += zone.units_max
    ends = [0]
    for depth in depths:
        ends.append(ends[-1] + places[depth])
    return ends


def _people(day: Day) -> dict[str, Volunteer]:
    return {person.id: person for person in day.volunteers}


def _pairs(units: Iterable[PlacedUnit]) -> Iterable[tuple[str, str]]:
    for unit in units:
        yield from combinations(unit.members, 2)
