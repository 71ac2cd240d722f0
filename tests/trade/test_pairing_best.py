"""The best plan by the ordered goals: which goal wins, that it is proven, and that it does not depend on order."""

import random
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedcrew.trade.day import Day, StockLine, Volunteer
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.pairing import goals, plan_day
from reedcrew.trade.plan import Status
from tests.trade.pairing_days import FIRST_AIDER, SPOTTER, ashore, child, codes_of, day, in_water, units_of, wader, zone

# --- Goals, by hand --------------------------------------------------------------------------------------------------


def test_goal_1_more_people_go_before_wishes():
    # a and b wish for each other, but c and d can only be with a and b.
    a = wader("a", wishes=frozenset({"b"}), languages=frozenset({"en", "fr"}))
    b = wader("b", wishes=frozenset({"a"}), languages=frozenset({"en", "de"}))
    c, d = wader("c", languages=frozenset({"fr"})), wader("d", languages=frozenset({"de"}))
    plan = plan_day(day(a, b, c, d))
    assert {unit.members for unit in plan.units} == {("a", "c"), ("b", "d")}
    assert plan.objective[:2] == (4, 0)


def test_goal_2_wishes_go_before_seasoned_units():
    a, b = (wader(name, water_days=9, wishes=frozenset({other})) for name, other in (("a", "b"), ("b", "a")))
    plan = plan_day(day(a, b, wader("c"), wader("d")))
    assert ("a", "b") in {unit.members for unit in plan.units}
    assert plan.objective[:3] == (4, 2, 1)
    assert "goal.wish" in codes_of(plan, "a")
    assert "goal.unseasoned" in codes_of(plan, "c")


def test_goal_2_each_direction_counts_one():
    # a-b is wished twice, b-c and c-d once each: together as many, but a and d can be alone with nobody else.
    a = wader("a", wishes=frozenset({"b"}))
    b = wader("b", wishes=frozenset({"a", "c"}))
    c = wader("c")
    plan = plan_day(day(a, b, c, wader("d"), zones=zone(units_max=2)))
    assert units_of(day(a, b, c, wader("d"))) == {("a", "b"), ("c", "d")}
    assert plan.objective[1] == 2


def test_goal_3_seasoned_people_are_spread_before_repeats_are_avoided():
    a, b = (wader(name, water_days=3, recent=frozenset({"c", "d"})) for name in "ab")
    plan = plan_day(day(a, b, wader("c"), wader("d")))
    assert plan.objective[2:4] == (0, 2)
    assert ("a", "b") not in {unit.members for unit in plan.units}
    assert "goal.repeat" in codes_of(plan, "a")


def test_goal_4_repeats_are_avoided_before_stature_is_matched():
    zones = (zone(60, 1, "deep"), zone(20, 1, "edge"))
    a = wader("a", stature_cm=150, recent=frozenset({"b"}))
    b, c, d = wader("b", stature_cm=151), wader("c", stature_cm=190), wader("d", stature_cm=191)
    crew = (FIRST_AIDER, SPOTTER, ashore("z2"))
    plan = plan_day(day(a, b, c, d, zones=zones, crew=crew))
    assert plan.objective[3:] == (0, 2)
    plan = plan_day(day(replace(a, recent=frozenset()), b, c, d, zones=zones, crew=crew))
    assert plan.objective[3:] == (0, 0)
    assert {(unit.zone, unit.members) for unit in plan.units} == {("edge", ("a", "b")), ("deep", ("c", "d"))}


def test_wishes_in_a_unit_of_three_count_too():
    people = [wader(name, wishes=frozenset("abc") - {name}) for name in "abc"]
    assert plan_day(day(*people)).objective[:2] == (3, 6)


# --- Where partners by name cannot be found at once ------------------------------------------------------------------


def test_people_who_are_all_kept_apart_stay_ashore():
    # By their kinds the six could make three units.
    everyone = frozenset("abcdef")
    people = [wader(name, water_days=3 * (name < "d"), apart=everyone - {name}) for name in sorted(everyone)]
    assert plan_day(day(*people)).units == ()
    # One pair that may be together is found.
    people[0] = replace(people[0], apart=frozenset())
    people[4] = replace(people[4], apart=everyone - {"a", "e"})
    plan = plan_day(day(*people))
    assert plan.status is Status.OPTIMAL
    assert {unit.members for unit in plan.units} == {("a", "e")}


def test_a_ring_of_people_kept_apart_is_solved_exactly():
    # Each may be with the one opposite only: of eight, 0-4, 1-5, 2-6 and 3-7.
    people = [
        wader(f"p{n}", apart=frozenset(f"p{other}" for other in range(8) if (other - n) % 8 not in (0, 4)))
        for n in range(8)
    ]
    assert units_of(day(*people)) == {(f"p{n}", f"p{n + 4}") for n in range(4)}


def test_repeats_that_cannot_be_avoided_are_counted():
    everyone = frozenset("abcd")
    plan = plan_day(day(*(wader(name, recent=everyone - {name}) for name in "abcd")))
    assert plan.objective == plan.bound == (4, 0, 2, 2, 0)


# --- Properties ------------------------------------------------------------------------------------------------------

NAMES = [f"v{number}" for number in range(9)]


@st.composite
def people(draw: st.DrawFn) -> tuple[Volunteer, ...]:
    """One to nine people with anything that matters to a plan."""
    names = NAMES[: draw(st.integers(1, 9))]
    some = st.frozensets(st.sampled_from(names), max_size=3)
    found = []
    for name in names:
        adult = draw(st.integers(0, 4)) > 0
        found.append(
            Volunteer(
                id=name,
                adult=adult,
                guardian=None if adult else draw(st.sampled_from([None, *names])),
                stature_cm=draw(st.sampled_from([None, 130, 160, 175, 190])),
                jacket_class=draw(st.sampled_from([None, JacketClass.YOUTH, JacketClass.ADULT, JacketClass.ADULT])),
                boot_eu=draw(st.sampled_from([None, Decimal(40), Decimal("41.5"), Decimal(42)])),
                water_ready=draw(st.integers(0, 5)) > 0,
                water_days=draw(st.integers(0, 4)),
                lead=draw(st.integers(0, 9)) == 0,
                first_aider=draw(st.booleans()),
                wishes=draw(some) - {name},
                apart=draw(st.one_of(st.just(frozenset[str]()), some)) - {name},
                languages=draw(st.frozensets(st.sampled_from(["en", "fr"]), max_size=2)),
                own=draw(st.frozensets(st.sampled_from([Item.CHEST_WADERS, Item.LIFE_JACKET, Item.GLOVES]))),
                recent=draw(some) - {name},
            )
        )
    return tuple(found)


@st.composite
def days(draw: st.DrawFn) -> Day:
    """A day with those people, up to three zones and too few sets."""
    depths = draw(st.lists(st.sampled_from([0, 20, 30, 45, 70]), max_size=3))
    zones = tuple(
        zone(depth_cm, draw(st.integers(0, 3)), f"z{place}", draw(st.sampled_from([0.0, 0.5, 1.2])))
        for place, depth_cm in enumerate(depths)
    )
    stock = tuple(
        StockLine(item=item, size=size, count=draw(st.integers(0, 3)))
        for item, size in (
            (Item.CHEST_WADERS, "40"),
            (Item.CHEST_WADERS, "42"),
            (Item.LIFE_JACKET, "adult"),
            (Item.LIFE_JACKET, "youth"),
        )
    )
    return replace(day(zones=zones or (zone(0),), stock=stock, crew=()), volunteers=draw(people()))


@settings(max_examples=25, deadline=None)
@given(days())
def test_each_person_has_one_place_with_reasons_and_every_value_is_proven(of_day: Day):
    plan = plan_day(of_day)
    places = [*in_water(plan), *(duty.volunteer for duty in plan.shore), *(left.volunteer for left in plan.not_placed)]
    assert sorted(places) == sorted(person.id for person in of_day.volunteers)
    assert sum(len(unit.members) for unit in plan.units) == len(in_water(plan))
    for told in (plan.units, plan.shore, plan.not_placed, plan.closed_zones):
        assert all(place.reasons for place in told)
    assert plan.objective == plan.bound == goals.objective(of_day, plan.units)
    assert plan.status is (Status.OPTIMAL if plan.units else Status.NO_WATER_WORK)
    assert sum(len(unit.members) == 3 for unit in plan.units) == plan.objective[0] % 2


@settings(max_examples=15, deadline=None)
@given(days(), st.randoms(use_true_random=False))
def test_the_order_of_the_input_does_not_matter(of_day: Day, chance: random.Random):
    mixed = replace(
        of_day,
        zones=tuple(chance.sample(of_day.zones, len(of_day.zones))),
        volunteers=tuple(chance.sample(of_day.volunteers, len(of_day.volunteers))),
        stock=tuple(chance.sample(of_day.stock, len(of_day.stock))),
    )
    assert plan_day(mixed) == plan_day(of_day)


@settings(max_examples=10, deadline=None)
@given(days())
def test_more_stock_never_keeps_people_out(of_day: Day):
    richer = replace(of_day, stock=(*of_day.stock, *of_day.stock))
    assert plan_day(richer).objective[0] >= plan_day(of_day).objective[0]


# --- Effort ----------------------------------------------------------------------------------------------------------


def test_a_search_without_effort_gives_a_plan_that_does_not_claim_to_be_the_best():
    chance = random.Random(1)
    crowd = [
        wader(
            f"p{number:02}",
            water_days=chance.randrange(5),
            wishes=frozenset({f"p{chance.randrange(40):02}"}) - {f"p{number:02}"},
            stature_cm=chance.randrange(160, 195),
        )
        for number in range(40)
    ]
    plan = plan_day(day(*crowd, zones=(zone(60, 6, "deep"), zone(20, 6, "edge"))), effort_per_goal=0.0)
    assert plan.status is Status.FEASIBLE
    assert plan.bound[0] >= plan.objective[0]
    assert "plan.not_proven" in [warning.code for warning in plan.warnings]


def test_repeated_ids_and_names_are_refused_each_by_its_place():
    twice = day(wader("a"), wader("a"), zones=(zone(name="reach"), zone(name="reach")))
    with pytest.raises(UnusableInput) as refused:
        plan_day(twice)
    assert [fault.where for fault in refused.value.faults] == ["volunteers[1]", "zones[1]"]


def test_people_on_record_who_are_not_on_the_roster_are_ignored():
    away = frozenset({"away"})
    a = wader("a", wishes=away, apart=away, recent=away)
    assert units_of(day(a, wader("b"), child("kit", "away"))) == {("a", "b")}
