"""Pins and the least change on the day itself: generated days for the judge, small ones against every plan there is."""

import re
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trade.independent.by_hand import bare_day, person, zone
from tests.trade.independent.checker import broken_rules
from tests.trade.independent.entrance import answered, planned, refusal_of
from tests.trade.independent.exhaustive import best_plan
from tests.trade.independent.generate import generated_day, on_the_day, pinned_day, small_day
from tests.trade.independent.limits import Json
from tests.trade.independent.pins import changed
from tests.trade.independent.values import goal_values, units_of

# With the five hundred days without pins of test_planner_against_checker these are the two thousand.
PINNED_DAYS, BATCH = 500, 100
CODES = {f"H{number}" for number in range(1, 12)} | {"pins"}


@cache
def first_answer(seed: int) -> Json:
    """The plan of a pinned day or the refusal of its pins, made once."""
    return answered(pinned_day(seed), remedies=False)


@cache
def kept_or_refused(seed: int) -> tuple[Json, Json, tuple[str, ...]]:
    """A pinned day without the pins that were refused, its plan, and the refusals' codes."""
    day, answer, codes = pinned_day(seed), first_answer(seed), []
    while (error := refusal_of(answer)) is not None:
        codes.append(error["code"])
        places = {int(place) for place in re.findall(r"pins\[([0-9]+)]", error["where"])}
        assert places, "a refusal names its pins"
        day = day | {"pins": [pin for place, pin in enumerate(day["pins"]) if place not in places]}
        answer = answered(day, remedies=False)
    return day, answer, tuple(codes)


@pytest.mark.parametrize("first", range(0, PINNED_DAYS, BATCH))
def test_no_plan_of_a_pinned_day_breaks_a_rule_or_a_pin(first: int) -> None:
    for seed in range(first, first + BATCH):
        day, plan, codes = kept_or_refused(seed)
        assert set(codes) <= CODES, seed
        assert broken_rules(day, plan) == [], seed
        assert tuple(plan["objective"]) == goal_values(day, units_of(day, plan)), seed


@pytest.mark.parametrize("first", range(0, 150, 25))
def test_pins_are_refused_exactly_where_no_plan_keeps_them_and_the_rest_is_best(first: int) -> None:
    for seed in range(first, first + 25):
        day = pinned_day(seed)
        if len(day["volunteers"]) > 7:
            continue
        best, plan = best_plan(day), first_answer(seed)
        assert (refusal_of(plan) is None) is (best is not None), seed
        if best is not None:
            assert tuple(plan["objective"]) == best.values, seed


def test_the_pinned_days_are_worth_planning() -> None:
    """Enough keep all pins, enough have some refused, for many rules and for several pins together."""
    outcomes = [kept_or_refused(seed) for seed in range(150)]
    codes = {code for *_, found in outcomes for code in found}
    assert sum(not found for *_, found in outcomes) > 40
    assert sum(bool(day["pins"]) and bool(found) for day, _, found in outcomes) > 10
    assert len(codes) >= 6, codes


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_planning_again_changes_no_more_people_than_the_best_of_all_plans(first: int) -> None:
    for seed in range(first, first + 20):
        day = small_day(seed)
        day = on_the_day(seed, day, planned(day, remedies=False))
        plan = planned(day, remedies=False)
        assert broken_rules(day, plan) == [], seed
        best = best_plan(day)
        assert len(plan["changed"]) == plan["changed_bound"] == best.changed, seed
        assert tuple(plan["objective"]) == best.values, seed


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**20))
def test_planning_a_pinned_day_again_changes_least(seed: int) -> None:
    day, before, _ = kept_or_refused(seed)
    day = on_the_day(seed, day, before)
    best = best_plan(day) if len(day["volunteers"]) <= 6 else None
    plan = answered(day, remedies=False)
    if refusal_of(plan) is not None:
        assert best is None
        return
    assert broken_rules(day, plan) == []
    if best is not None:
        assert len(plan["changed"]) == best.changed
        assert tuple(plan["objective"]) == best.values


@pytest.mark.parametrize("first", range(0, 100, 50))
def test_a_plan_told_again_with_nothing_new_is_told_unchanged(first: int) -> None:
    for seed in range(first, first + 50):
        day = generated_day(seed)
        plan = planned(day, remedies=False)
        again = on_the_day(seed, day, plan) | {"volunteers": day["volunteers"], "zones": day["zones"]}
        assert planned(again, remedies=False)["changed"] == [], seed


def test_the_days_of_no_shows_are_worth_planning() -> None:
    """Enough need a change and enough need none, though somebody stays away."""
    counts = []
    for seed in range(60):
        day = small_day(seed)
        morning = on_the_day(seed, day, planned(day, remedies=False))
        if len(morning["volunteers"]) < len(day["volunteers"]):
            counts.append(len(planned(morning, remedies=False)["changed"]))
    assert sum(count > 0 for count in counts) > 15
    assert sum(count == 0 for count in counts) > 5


def test_the_judge_counts_who_must_be_told_something_new() -> None:
    """By hand: of a told trio two go on unchanged, a partner left alone is changed, a role is kept at its zone only."""
    people = [person(name) for name in "abdefg"]
    told = {
        "units": [{"zone": "shallow", "members": ["a", "b", "c"]}, {"zone": "shallow", "members": ["d", "x"]}],
        "shore": [{"id": "e", "role": "spotter", "zone": "shallow"}, {"id": "f", "role": "hauler", "zone": None}],
    }
    day = bare_day([zone("shallow", 20)], people, []) | {"told": told}
    plan = {
        "units": [{"zone": "shallow", "members": ["b", "a"]}, {"zone": "shallow", "members": ["d", "g"]}],
        "shore": [{"id": "e", "role": "spotter", "zone": "other"}, {"id": "f", "role": "hauler", "zone": None}],
    }
    assert changed(day, plan) == {"d", "e"}
