"""The gear list on invented days: sums, sizes, order, and who goes without."""

import datetime
from dataclasses import replace
from typing import Any

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedcrew.trade.day import StockLine, Weather, Zone
from reedcrew.trade.effort import Rates, work_rate
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.gear import complete
from reedcrew.trade.gear.norms import sunscreen_applications, twine_balls
from reedcrew.trade.gear.shelf import Need, Shelf
from reedcrew.trade.items import Item
from reedcrew.trade.plan import Role, Source
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.sizes import wader_labels
from reedcrew.trade.stock_sizes import NO_SIZE, sizes_of
from tests.trade.gear_days import (
    FIRST_AIDER,
    START,
    allotments_of,
    ashore,
    day_of,
    days_with_drafts,
    half_sizes,
    labels,
    pair,
    person,
    plan_of,
    stock_lines,
    sums,
)


def test_haulers_and_crew_of_unknown_place_wear_no_boots_but_shallow_spade_crew_do():
    strip = Zone(name="strip", depth_cm=10, stems=100, units_max=1)
    day = day_of(person("amy"), person("bob"), person("cyd"), zones=(strip,))
    shore = (ashore("amy", Role.SPADE_CREW, "strip"), ashore("bob", Role.SPADE_CREW), ashore("cyd", Role.HAULER))
    plan = complete(day, plan_of(shore=shore))
    assert sums(plan, Item.BOOTS) == {"42": (1, 0, 0, 1)}
    assert sums(plan, Item.SPADE) == {"": (3, 0, 0, 3)}  # Amy, Bob and one spare
    assert sums(plan, Item.GLOVES) == {"9": (3, 0, 0, 3)}


def test_what_neither_sickles_nor_cane_cutters_cover_is_short_as_sickles():
    names = ("amy", "bob", "cyd", "dan", "eve", "fay")
    people = [person(name, own={Item.CANE_CUTTER} if name == "fay" else ()) for name in names]
    stock = [(Item.HAND_SICKLE, "", 1), (Item.CANE_CUTTER, "", 2)]
    plan = complete(day_of(*people, stock=stock), plan_of(pair("amy", "bob"), pair("cyd", "dan"), pair("eve", "fay")))
    # Six workers and two spares: one own, three from stock, four short.
    assert sums(plan, Item.HAND_SICKLE) == {"": (5, 0, 1, 4)}
    assert sums(plan, Item.CANE_CUTTER) == {"": (3, 1, 2, 0)}


def test_stock_of_plain_items_counts_whatever_its_line_calls_the_size():
    stock = [(Item.WHISTLE, "", 1), (Item.WHISTLE, "red", 1)]
    plan = complete(day_of(person("amy"), person("bob"), stock=stock), plan_of(pair("amy", "bob")))
    assert sums(plan, Item.WHISTLE) == {"": (2, 0, 2, 0)}


@pytest.mark.parametrize(
    ("weather", "litres", "last_reason"),
    [
        (None, 3.8, "gear.heat_unknown"),  # 4 h × 0.946 L = 3.785
        (Weather(temp_c=20, rh_percent=50), 3.8, "drinking_water.rate"),
        (Weather(temp_c=38, rh_percent=50), 5.7, "drinking_water.rate"),  # 100 °F, 50 %: 118 °F; 4 h × 1.42 L = 5.678
    ],
)
def test_hot_days_need_more_water(weather, litres, last_reason):
    plan = complete(day_of(FIRST_AIDER, weather=weather), plan_of())
    (line,) = [line for line in plan.gear if line.item is Item.DRINKING_WATER]
    assert (line.needed, line.unit, line.reasons[-1].code) == (litres, "L", last_reason)


@pytest.mark.parametrize(("month", "may_pile"), [(7, True), (9, False)])
def test_bags_say_when_a_pile_would_do(month, may_pile):
    start = START.replace(month=month, day=20)
    day = replace(day_of(person("amy"), person("bob")), start=start, end=start + datetime.timedelta(hours=4))
    (line,) = [line for line in complete(day, plan_of(pair("amy", "bob"))).gear if line.item is Item.BAG]
    # Two people × 4 h × 100 stems = 800, at 150 a bag.
    assert line.needed == 6
    assert ("gear.bags_or_pile" in [because.code for because in line.reasons]) is may_pile


# Convention: again for each started 2 h.
@pytest.mark.parametrize(("hours", "times"), [(1.5, 1), (2, 1), (4, 2), (5.5, 3), (6, 3)])
def test_sunscreen_is_put_on_again_every_two_hours(hours, times):
    assert sunscreen_applications(hours) == times


@pytest.mark.parametrize(("stems", "balls"), [(0, 0), (1, 1), (12_500, 1), (12_501, 2)])
def test_a_ball_of_twine_ties_fifty_bundles(stems, balls):
    assert twine_balls(stems) == balls


@pytest.mark.parametrize(
    ("people", "first_aiders", "warned"), [(4, 0, False), (5, 0, True), (5, 1, False), (51, 1, True)]
)
def test_too_few_first_aiders_are_warned_of(people, first_aiders, warned):
    # HSE L74, higher hazard: one from 5 people, two from 51.
    crew = [person(f"p{number}", first_aider=number < first_aiders) for number in range(people)]
    codes = [warning.code for warning in complete(day_of(*crew), plan_of()).warnings]
    assert ("first_aid.too_few" in codes) is warned


def test_somebody_under_18_does_not_count_as_a_first_aider():
    crew = [person("kit", adult=False, first_aider=True), *(person(f"p{number}") for number in range(4))]
    told = {warning.code: warning.values for warning in complete(day_of(*crew), plan_of()).warnings}
    assert told["first_aid.too_few"] == {"present": 0, "needed": 1}  # as H10 counts them


def test_an_empty_roster_needs_nothing():
    assert complete(day_of(), plan_of()).gear == ()


def test_a_day_longer_than_a_day_is_refused():
    day = replace(day_of(person("amy")), end=START + datetime.timedelta(hours=25))
    with pytest.raises(UnusableInput, match="hours"):
        complete(day, plan_of())


@given(days_with_drafts)
def test_every_line_adds_up(case):
    day, draft = case
    for line in complete(day, draft).gear:
        assert line.needed > 0
        assert line.short == pytest.approx(max(0, line.needed - line.own - line.in_stock), abs=0.05)
        assert line.reasons


@given(days_with_drafts)
def test_nothing_is_handed_out_twice_and_nobody_is_said_to_own_what_they_do_not(case):
    day, draft = case
    plan = complete(day, draft)
    own = {person.id: person.own for person in day.volunteers}
    handed_out: dict[Any, int] = {}
    for name, allotment in allotments_of(plan):
        if allotment.source is Source.OWN:
            assert allotment.item in own[name]
        else:
            key = (allotment.item, allotment.size)
            handed_out[key] = handed_out.get(key, 0) + 1
    for (item, size), count in handed_out.items():
        sizes = {size} if sizes_of(item) != NO_SIZE else {line.size for line in day.stock}
        assert count <= sum(line.count for line in day.stock if line.item is item and line.size in sizes)
    for name, allotment in allotments_of(plan):
        (line,) = [line for line in plan.gear if (line.item, line.size) == (allotment.item, allotment.size)]
        assert name in line.who
        assert name not in line.without


@given(days_with_drafts)
def test_everyone_who_handles_reed_has_gloves_and_eye_protection_or_is_said_to_go_without(case):
    day, draft = case
    plan = complete(day, draft)
    hands = {member for unit in plan.units for member in unit.members}
    hands |= {duty.volunteer for duty in plan.shore if duty.role in (Role.SPADE_CREW, Role.HAULER)}
    for item in (Item.GLOVES, Item.EYE_PROTECTION):
        lines = [line for line in plan.gear if line.item is item]
        assert sorted(name for line in lines for name in (*line.who, *line.without)) == sorted(hands)


@given(days_with_drafts)
def test_lines_stand_in_one_order_and_each_once(case):
    day, draft = case
    lines = [(line.item, line.size) for line in complete(day, draft).gear]
    order = list(Item)
    assert len(set(lines)) == len(lines)
    assert [order.index(item) for item, _ in lines] == sorted(order.index(item) for item, _ in lines)


@given(days_with_drafts)
def test_a_complete_plan_stays_as_it_is(case):
    day, draft = case
    plan = complete(day, draft)
    assert complete(day, plan) == plan


@given(days_with_drafts, stock_lines)
def test_more_stock_never_makes_an_item_shorter(case, extra):
    day, draft = case

    def short(day):
        # Sickles and cane cutters stand in for each other, so they are one here.
        names = {Item.CANE_CUTTER: Item.HAND_SICKLE}
        found: dict[Any, Any] = {}
        for line in complete(day, draft).gear:
            item = names.get(line.item, line.item)
            found[item] = found.get(item, 0) + line.short
        return found

    before, after = short(day), short(replace(day, stock=(*day.stock, extra)))
    assert all(after.get(item, 0) <= before.get(item, 0) + 1e-9 for item in Item)


@settings(max_examples=60)
@given(st.lists(half_sizes, max_size=12), st.dictionaries(labels, st.integers(0, 3), max_size=8))
def test_waders_and_boots_serve_as_many_as_any_matching_could(boots, counts):
    needs = [Need(person=f"p{number}", sizes=wader_labels(boot), owns=False) for number, boot in enumerate(boots)]
    shelf = Shelf([StockLine(item=Item.BOOTS, size=size, count=count) for size, count in counts.items()])
    served = shelf.match(Item.BOOTS, needs)
    graph = networkx.Graph()
    people = [need.person for need in needs]
    graph.add_nodes_from(people)
    graph.add_edges_from(
        (need.person, (size, number)) for need in needs for size in need.sizes for number in range(counts.get(size, 0))
    )
    matching = networkx.bipartite.maximum_matching(graph, top_nodes=people)
    assert len(served) == sum(name in matching for name in people)
    assert all(size in need.sizes for need in needs for size in [served.get(need.person, need.sizes[0])])


def test_the_policy_says_how_many_spare_tools():
    day = day_of(*(person(f"p{number}") for number in range(6)), policy=replace(DEFAULT_POLICY, spare_tool_every=2))
    plan = complete(day, plan_of(pair("p0", "p1"), pair("p2", "p3"), pair("p4", "p5")))
    assert sums(plan, Item.HAND_SICKLE) == {"": (9, 0, 0, 9)}


def test_bags_follow_the_learned_rate():
    """By hand: 4 hours of two people at 100 an hour are 800 stems, 6 bags of 150; at 25 an hour 200, 2 bags."""
    people = [person("amy"), person("bob"), FIRST_AIDER]
    slow = Rates(in_water=work_rate(0, 6, 100), on_land=work_rate(0, 0, 150))  # 200 / (2 + 6) = 25
    for rates, bags in ((None, 6), (slow, 2)):
        gear = complete(day_of(*people, rates=rates), plan_of(pair("amy", "bob"))).gear
        assert [line.needed for line in gear if line.item is Item.BAG] == [bags]
