"""Five hundred generated days and more: no plan that the planner shows breaks a rule that the judge knows."""

import json
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings

from tests.trade.independent.checker import broken_rules
from tests.trade.independent.entrance import planned, planned_by_command
from tests.trade.independent.generate import days, generated_day
from tests.trade.independent.limits import Json
from tests.trade.independent.values import goal_values, units_of

SEEDS = 500
BATCH = 25


@cache
def planned_for(seed: int) -> Json:
    """The plan of a generated day, made once."""
    return planned(generated_day(seed), remedies=False)


@pytest.mark.parametrize("first", range(0, SEEDS, BATCH))
def test_no_plan_of_a_generated_day_breaks_a_rule(first: int) -> None:
    broken = {}
    for seed in range(first, first + BATCH):
        day = generated_day(seed)
        plan = planned_for(seed)
        breaches = broken_rules(day, plan)
        if breaches:
            broken[seed] = [str(breach) for breach in breaches]
        assert tuple(plan["objective"]) == goal_values(day, units_of(day, plan)), seed
        assert plan["status"] != "optimal" or plan["bound"] == plan["objective"], seed
    assert broken == {}


def test_a_plan_is_the_same_with_and_without_remedies() -> None:
    for seed in range(BATCH):
        plan = planned(generated_day(seed))
        for line in (*plan["shore"], *plan["not_placed"]):
            line["remedies"] = []
        assert plan == planned_for(seed) | {"closed_zones": plan["closed_zones"]}, seed


def test_the_generated_days_try_every_part_of_the_plan() -> None:
    """The days are worth planning: enough have units, trios, minors in water, closed zones, no water work."""
    seen = {"units": 0, "trio": 0, "minor": 0, "closed": 0, "no water": 0, "unplaced": 0, "two zones": 0}
    for seed in range(0, SEEDS, 5):
        day = generated_day(seed)
        plan = planned_for(seed)
        minors = {person["id"] for person in day["volunteers"] if not person["adult"]}
        seen["units"] += bool(plan["units"])
        seen["trio"] += any(len(unit["members"]) == 3 for unit in plan["units"])
        seen["minor"] += any(minors.intersection(unit["members"]) for unit in plan["units"])
        seen["closed"] += bool(plan["closed_zones"])
        seen["no water"] += plan["status"] == "no_water_work"
        seen["unplaced"] += bool(plan["not_placed"])
        seen["two zones"] += len({unit["zone"] for unit in plan["units"]}) > 1
    assert all(count >= 3 for count in seen.values()), seen


@settings(max_examples=25, deadline=None)
@given(days())
def test_no_plan_of_any_day_breaks_a_rule(day: Json) -> None:
    assert broken_rules(day, planned(day, remedies=False)) == []


@pytest.mark.parametrize("seed", [90, 311])
def test_the_command_prints_the_same_plan_for_people_in_any_order(seed: int, tmp_path: Path) -> None:
    day = generated_day(seed)
    file = tmp_path / "day.json"
    file.write_text(json.dumps(day | {"volunteers": day["volunteers"][::-1]}), encoding="utf-8")
    plan = planned_by_command(file)
    assert broken_rules(day, plan) == []
    assert plan == planned(day)
