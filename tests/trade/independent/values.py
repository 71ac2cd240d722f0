"""The goals of a plan by the design's own words, computed apart from the planner.

1 the most people in water units; 2 the most wishes to work together honoured, each direction counting one; 3 the fewest
units without a person of three or more earlier water days; 4 the fewest pairs that repeat one of the last three days.
"""

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

from tests.trade.independent.limits import Json, limits_of


class UnitOf(NamedTuple):
    """A unit before it has gear: the zone's name and the members' own dicts."""

    zone: str
    members: tuple[Json, ...]


def goal_values(day: Json, units: Sequence[UnitOf]) -> tuple[int, ...]:
    """The values of the goals, in the design's order, as they are: not negated, not weighted."""
    seasoned = limits_of(day).seasoned_water_days
    pairs = [pair for unit in units for pair in combinations(unit.members, 2)]
    return (
        sum(len(unit.members) for unit in units),
        sum((other["id"] in one["wishes"]) + (one["id"] in other["wishes"]) for one, other in pairs),
        sum(all((person["water_days"] or 0) < seasoned for person in unit.members) for unit in units),
        sum(other["id"] in one["recent"] or one["id"] in other["recent"] for one, other in pairs),
    )


def rank(values: Sequence[int]) -> tuple[int, ...]:
    """The values so that the better plan is the larger tuple: goals 1 and 2 count up, the others down."""
    return (*values[:2], *(-value for value in values[2:]))


def units_of(day: Json, plan: Json) -> list[UnitOf]:
    """The units of a plan with their members' dicts."""
    people = {person["id"]: person for person in day["volunteers"]}
    return [UnitOf(unit["zone"], tuple(people[name] for name in unit["members"])) for unit in plan["units"]]
