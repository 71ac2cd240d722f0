"""The hard rules H1 to H5 of a plan at their edges: with the condition kept, and with it broken."""

from dataclasses import replace
from decimal import Decimal

import pytest

from reedcrew.trade.day import StockLine, Volunteer
from reedcrew.trade.items import Item
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.plan import Source, Status
from reedcrew.trade.policy import Policy
from tests.trade.pairing_days import (
    child,
    codes_of,
    day,
    in_water,
    sets,
    units_of,
    wader,
    zone,
)

ANN, BOB, CEM, DIA = (wader(name) for name in ("ann", "bob", "cem", "dia"))
BOTH = {("ann", "bob")}


# --- H1: nobody alone, one unit of three at most ---------------------------------------------------------------------


def test_h1_nobody_is_in_water_alone():
    assert units_of(day(ANN, BOB)) == BOTH
    plan = plan_day(day(ANN))
    assert plan.status is Status.NO_WATER_WORK
    assert plan.units == ()


def test_h1_a_third_person_who_would_be_left_out_makes_a_unit_of_three():
    plan = plan_day(day(ANN, BOB, CEM))
    assert [unit.members for unit in plan.units] == [("ann", "bob", "cem")]
    assert "H1.trio" in codes_of(plan, "cem")


def test_h1_four_people_make_two_units_of_two():
    plan = plan_day(day(ANN, BOB, CEM, DIA))
    assert sorted(len(unit.members) for unit in plan.units) == [2, 2]


def test_h1_a_unit_of_three_fills_a_zone_that_takes_one_unit():
    assert len(in_water(plan_day(day(ANN, BOB, CEM, DIA, zones=zone(units_max=1))))) == 3


def test_h1_there_is_only_one_unit_of_three():
    six = [wader(name) for name in "abcdef"]
    plan = plan_day(day(*six, zones=zone(units_max=2)))
    assert sorted(len(unit.members) for unit in plan.units) == [2, 3]


def test_h1_there_is_only_one_unit_of_three_in_all_zones_together():
    six = [wader(name) for name in "abcdef"]
    zones = (zone(60, 1, "one"), zone(60, 1, "two"))
    plan = plan_day(day(*six, zones=zones))
    assert sorted(len(unit.members) for unit in plan.units) == [2, 3]


# --- H2: an experienced adult in each unit ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bob", "policy", "goes_in"),
    [
        pytest.param(wader("bob", water_days=1), Policy(), True, id="one earlier day"),
        pytest.param(wader("bob", water_days=0), Policy(), False, id="none"),
        pytest.param(wader("bob", water_days=0, lead=True), Policy(), True, id="trained lead"),
        pytest.param(wader("bob", water_days=1), Policy(water_days_min=2), False, id="fewer than the group asks"),
        pytest.param(wader("bob", water_days=2), Policy(water_days_min=2), True, id="as many as the group asks"),
    ],
)
def test_h2_a_unit_has_an_adult_with_earlier_water_days_or_a_lead(bob: Volunteer, policy: Policy, goes_in: bool):
    novice = wader("ann", water_days=0)
    plan = plan_day(day(novice, bob, policy=policy))
    assert bool(plan.units) is goes_in
    if not goes_in:
        assert "H2.no_partner" in codes_of(plan, "ann")


def test_h2_holds_in_a_unit_of_three():
    novices = [wader(name, water_days=0) for name in ("ann", "bob", "cem")]
    assert units_of(day(*novices)) == set()
    novices[1] = replace(novices[1], lead=True)
    assert units_of(day(*novices)) == {("ann", "bob", "cem")}


def test_h2_a_child_with_water_days_is_not_the_experienced_one():
    parent = wader("ann", water_days=0)
    veteran = child("kit", "ann", water_days=9, lead=True)
    assert plan_day(day(parent, veteran, zones=zone(20))).units == ()
    assert units_of(day(replace(parent, water_days=1), veteran, zones=zone(20))) == {("ann", "kit")}


# --- H3: under 18 --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("depth_cm", "policy", "goes_in"),
    [
        (30, Policy(), True),
        (31, Policy(), False),
        (20, Policy(minor_depth_cm_max=20), True),
        (21, Policy(minor_depth_cm_max=20), False),
    ],
)
def test_h3_a_person_under_18_is_in_shallow_water_only(depth_cm: int, policy: Policy, goes_in: bool):
    stock = (*sets({"42": 9}), StockLine(item=Item.LIFE_JACKET, size="youth", count=9))
    plan = plan_day(day(ANN, child("kit", "ann"), zones=zone(depth_cm), stock=stock, policy=policy))
    assert ("kit" in in_water(plan)) is goes_in
    assert ("H3.guardian" if goes_in else "H3.depth") in codes_of(plan, "kit")


def test_h3_only_beside_their_own_guardian():
    assert units_of(day(ANN, child("kit", "ann"), zones=zone(20))) == {("ann", "kit")}
    plan = plan_day(day(ANN, child("kit", "z-spotter"), zones=zone(20)))
    assert plan.units == ()
    assert "H3.guardian_ashore" in codes_of(plan, "kit")


def test_h3_a_unit_of_three_holds_the_guardian_too():
    people = (ANN, BOB, child("kit", "ann"))
    assert units_of(day(*people, zones=zone(20, units_max=1))) == {("ann", "bob", "kit")}
    without_ann = plan_day(day(BOB, CEM, child("kit", "z-spotter"), zones=zone(20, units_max=1)))
    assert in_water(without_ann) == {"bob", "cem"}


@pytest.mark.parametrize("name", ["aki", "kit"])
def test_h3_a_childs_wish_for_somebody_else_does_not_replace_the_guardian(name: str):
    young = child(name, "ann", wishes=frozenset({"bob", "cem"}))
    plan = plan_day(day(ANN, BOB, CEM, young, zones=zone(20)))
    assert {unit.members for unit in plan.units} == {tuple(sorted(("ann", name))), ("bob", "cem")}
    plan = plan_day(day(ANN, BOB, CEM, DIA, young, zones=zone(20)))
    assert len(in_water(plan)) == 5
    assert next(unit.members for unit in plan.units if "ann" in unit.members).count(name) == 1


def test_h3_a_guardian_of_two_takes_both_only_in_the_unit_of_three():
    plan = plan_day(day(ANN, child("kit", "ann"), child("lea", "ann"), zones=zone(20)))
    assert [unit.members for unit in plan.units] == [("ann", "kit", "lea")]


@pytest.mark.parametrize(
    ("guardian", "code"), [(None, "H3.no_guardian"), ("not here", "H3.guardian_absent"), ("lea", "H3.guardian_absent")]
)
def test_h3_without_a_guardian_on_the_roster_a_child_has_no_place(guardian: str | None, code: str):
    plan = plan_day(day(ANN, BOB, child("kit", guardian), child("lea", "ann"), zones=zone(20)))
    assert codes_of(plan, "kit") == [code]
    assert [left.volunteer for left in plan.not_placed] == ["kit"]


# --- H4: willing and able ------------------------------------------------------------------------------------------


def test_h4_only_people_who_said_so_are_in_water():
    plan = plan_day(day(ANN, replace(BOB, water_ready=False)))
    assert plan.units == ()
    assert "H4" in codes_of(plan, "bob")


# --- H5: waders and life jackets -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("boot_eu", "label", "fits"),
    [
        ("42", "41", False),
        ("42", "42", True),
        ("42", "43", True),
        ("42", "44", False),
        ("42.5", "42", False),
        ("42.5", "43", True),
        ("42.5", "44", False),
    ],
)
def test_h5_waders_fit_from_the_boot_size_to_one_above(boot_eu: str, label: str, fits: bool):
    plan = plan_day(day(*(replace(one, boot_eu=Decimal(boot_eu)) for one in (ANN, BOB)), stock=sets({label: 2})))
    assert bool(plan.units) is fits
    if not fits:
        assert "H5.waders" in codes_of(plan, "ann")


def test_h5_one_set_serves_one_person():
    assert units_of(day(ANN, BOB, stock=sets({"42": 2}))) == BOTH
    plan = plan_day(day(ANN, BOB, stock=sets({"42": 1})))
    assert plan.units == ()
    plan = plan_day(day(ANN, BOB, stock=sets({"42": 2}, jackets=1)))
    assert plan.units == ()


def test_h5_labels_are_shared_out_so_that_most_people_are_served():
    # Boots 41, 42, 42 and 43 need one each of 42, 42, 43 and 44: 41 can only wear 42, so one 42 must take the 43, and
    # 43 the 44. Taking away the 44 leaves three sets for four.
    people = [wader(name, boot_eu=Decimal(boot)) for name, boot in (("ann", 41), ("bob", 42), ("cem", 42), ("dia", 43))]
    plan = plan_day(day(*people, stock=sets({"42": 2, "43": 1, "44": 1})))
    sizes = {
        member: allotment.size
        for unit in plan.units
        for member, allotments in unit.gear
        for allotment in allotments
        if allotment.item is Item.CHEST_WADERS
    }
    assert (sizes["ann"], sizes["dia"], {sizes["bob"], sizes["cem"]}) == ("42", "44", {"42", "43"})
    plan = plan_day(day(*people, stock=sets({"42": 2, "43": 1})))
    assert len(in_water(plan)) == 3


def test_h5_own_waders_and_jacket_serve_their_owner_only():
    own = frozenset({Item.CHEST_WADERS, Item.LIFE_JACKET})
    owners = replace(ANN, own=own), replace(BOB, own=own, boot_eu=Decimal(48))
    plan = plan_day(day(*owners, stock=()))
    assert in_water(plan) == {"ann", "bob"}
    sources = {
        allotment.source
        for unit in plan.units
        for _, allotments in unit.gear
        for allotment in allotments
        if allotment.item in own
    }
    assert sources == {Source.OWN}
    assert plan_day(day(owners[0], BOB, stock=())).units == ()


@pytest.mark.parametrize(("size", "fits"), [("adult", True), ("youth", False), ("child", False)])
def test_h5_a_life_jacket_is_of_the_wearers_class(size: str, fits: bool):
    stock = (
        StockLine(item=Item.CHEST_WADERS, size="42", count=2),
        StockLine(item=Item.LIFE_JACKET, size=size, count=2),
    )
    plan = plan_day(day(ANN, BOB, stock=stock))
    assert bool(plan.units) is fits
    if not fits:
        assert "H5.jacket" in codes_of(plan, "ann")


@pytest.mark.parametrize(
    ("unknown", "code"), [({"boot_eu": None}, "H5.boot_unknown"), ({"jacket_class": None}, "H5.mass_unknown")]
)
@pytest.mark.parametrize("own", [frozenset(), frozenset({Item.CHEST_WADERS, Item.LIFE_JACKET})])
def test_h5_an_unknown_size_keeps_out_of_water_work(unknown: dict[str, None], code: str, own: frozenset[Item]):
    bob = wader("bob", own=own, **unknown)
    plan = plan_day(day(ANN, bob))
    assert plan.units == ()
    assert code in codes_of(plan, "bob")


def test_h5_water_up_to_30_cm_needs_no_sets():
    assert units_of(day(ANN, BOB, zones=zone(30), stock=())) == BOTH
    assert units_of(day(ANN, BOB, zones=zone(31), stock=())) == set()


def test_h5_a_line_of_sets_that_ran_out_is_named():
    plan = plan_day(day(ANN, BOB, CEM, DIA, stock=sets({"42": 2})))
    assert len(in_water(plan)) == 2
    left = next(name for name in ("ann", "bob", "cem", "dia") if name not in in_water(plan))
    assert "H5.waders_taken" in codes_of(plan, left)
    plan = plan_day(day(ANN, BOB, CEM, DIA, stock=sets({"42": 4}, jackets=2)))
    left = next(name for name in ("ann", "bob", "cem", "dia") if name not in in_water(plan))
    assert "H5.jackets_taken" in codes_of(plan, left)
