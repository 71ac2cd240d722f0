"""The goals of a plan by the design's own words, computed apart from the planner.

1 the most people in water units; 2 the most wishes to work together honoured, each direction counting one; 3 the fewest
units without a person of three or more earlier water days; 4 the fewest pairs that repeat one of the last three days;
5 the closest match of stature to depth, by the convention of this project written out at ``stature_levels_off``.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from typing import NamedTuple

from tests.trade.independent.limits import Json, has_water, is_too_fast, limits_of


class UnitOf(NamedTuple):
    """A unit before it has gear: the zone's name and the members' own dicts."""

    zone: str
    members: tuple[Json, ...]


def goal_values(day: Json, units: Sequence[UnitOf]) -> tuple[int, ...]:
    """The values of the goals, in the design's order, as they are: not negated, not weighted."""
    seasoned = limits_of(day).seasoned_water_days
    levels_off = stature_levels_off(day)
    pairs = [pair for unit in units for pair in combinations(unit.members, 2)]
    return (
        sum(len(unit.members) for unit in units),
        sum((other["id"] in one["wishes"]) + (one["id"] in other["wishes"]) for one, other in pairs),
        sum(all((person["water_days"] or 0) < seasoned for person in unit.members) for unit in units),
        sum(other["id"] in one["recent"] or one["id"] in other["recent"] for one, other in pairs),
        sum(levels_off[member["id"]][unit.zone] for unit in units for member in unit.members),
    )


def stature_levels_off(day: Json) -> dict[str, dict[str, int]]:
    """For each person and open zone with water: how many levels of depth it is from the person's place by stature.

    Everyone who is ready for water and of known stature stands in one row, the shortest first, and takes an equal share
    of it; people of one stature take their shares together. The levels of depth, the shallowest first, divide the same
    row by the units that their zones hold. A person is at home in each level whose stretch overlaps theirs by more than
    a point. A zone is open if it takes units and is neither too fast nor too deep for everyone.
    """
    limits = limits_of(day)
    open_zones = [
        zone
        for zone in day["zones"]
        if has_water(zone)
        and not is_too_fast(zone, limits)
        and zone["depth_cm"] <= limits.wading_depth_cm_max
        and zone["units_max"]
    ]
    places = sum(zone["units_max"] for zone in open_zones)
    levels = sorted({zone["depth_cm"] for zone in open_zones})
    stretches: list[tuple[Fraction, Fraction]] = []
    for depth in levels:
        start = stretches[-1][1] if stretches else Fraction(0)
        room = sum(zone["units_max"] for zone in open_zones if zone["depth_cm"] == depth)
        stretches.append((start, start + Fraction(room, places)))
    row = [person for person in day["volunteers"] if person["water_ready"] is True and person["stature_cm"] is not None]
    off: dict[str, dict[str, int]] = {}
    for person in row:
        shorter = sum(other["stature_cm"] < person["stature_cm"] for other in row)
        taller = sum(other["stature_cm"] > person["stature_cm"] for other in row)
        mine = Fraction(shorter, len(row)), Fraction(len(row) - taller, len(row))
        home = [level for level, stretch in enumerate(stretches) if max(mine[0], stretch[0]) < min(mine[1], stretch[1])]
        off[person["id"]] = {
            zone["name"]: min(abs(levels.index(zone["depth_cm"]) - level) for level in home) for zone in open_zones
        }
    return off


def rank(values: Sequence[int]) -> tuple[int, ...]:
    """The values so that the better plan is the larger tuple: goals 1 and 2 count up, the others down."""
    return (*values[:2], *(-value for value in values[2:]))


def units_of(day: Json, plan: Json) -> list[UnitOf]:
    """The units of a plan with their members' dicts."""
    people = {person["id"]: person for person in day["volunteers"]}
    return [UnitOf(unit["zone"], tuple(people[name] for name in unit["members"])) for unit in plan["units"]]
