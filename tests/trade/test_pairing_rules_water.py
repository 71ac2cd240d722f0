"""The hard rules H6 to H11 of a plan at their edges: with the condition kept, and with it broken."""

from dataclasses import replace

import pytest

from reedcrew.trade.day import Volunteer
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.plan import Status
from reedcrew.trade.policy import Policy
from tests.trade.pairing_days import (
    FIRST_AIDER,
    SPOTTER,
    ashore,
    child,
    codes_of,
    day,
    in_water,
    units_of,
    wader,
    zone,
)

ANN, BOB, CEM, DIA = (wader(name) for name in ("ann", "bob", "cem", "dia"))
BOTH = {("ann", "bob")}


# --- H6: depth by stature --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stature_cm", "depth_cm", "policy", "goes_in"),
    [
        (120, 60, Policy(), True),
        (119, 60, Policy(), False),
        (121, 60, Policy(), True),
        (210, 100, Policy(), True),
        (210, 101, Policy(), False),
        (150, 60, Policy(wading_stature_share=0.4), True),
        (149, 60, Policy(wading_stature_share=0.4), False),
        (180, 50, Policy(wading_depth_cm_max=50), True),
        (180, 51, Policy(wading_depth_cm_max=50), False),
    ],
)
def test_h6_depth_is_within_each_members_limit(stature_cm: int, depth_cm: int, policy: Policy, goes_in: bool):
    tall = replace(ANN, stature_cm=220)
    plan = plan_day(day(tall, replace(BOB, stature_cm=stature_cm), zones=zone(depth_cm), policy=policy))
    assert bool(plan.units) is goes_in


def test_h6_an_unknown_stature_keeps_out():
    plan = plan_day(day(ANN, replace(BOB, stature_cm=None)))
    assert plan.units == ()
    assert "H6.stature_unknown" in codes_of(plan, "bob")


def test_h6_a_zone_deeper_than_anyone_may_wade_is_closed():
    plan = plan_day(day(ANN, BOB, zones=zone(101)))
    assert [closed.reasons[0].code for closed in plan.closed_zones] == ["H6.zone"]


# --- H7: depth × current -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    # Limit 0.929 m²/s (check-values, section 3) over the factor 2: 0.4645. At 0.60 m: 0.774 m/s.
    ("current_m_s", "factor", "is_open"),
    [(0.77, 2.0, True), (0.78, 2.0, False), (1.54, 1.0, True), (1.55, 1.0, False)],
)
def test_h7_too_strong_a_current_closes_the_zone(current_m_s: float, factor: float, is_open: bool):
    plan = plan_day(day(ANN, BOB, zones=zone(60, current_m_s=current_m_s), policy=Policy(wading_safety_factor=factor)))
    assert bool(plan.units) is is_open
    assert [reason.code for closed in plan.closed_zones for reason in closed.reasons] == ([] if is_open else ["H7"])


# --- H8: kept apart --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("asking", ["ann", "bob"])
def test_h8_kept_apart_whoever_asked(asking: str):
    asked = "bob" if asking == "ann" else "ann"
    people = {one.id: one for one in (ANN, BOB, CEM, DIA)}
    # They wish to be together and to be kept apart: the wish alone would pair them.
    people[asking] = replace(people[asking], wishes=frozenset({asked}))
    assert ("ann", "bob") in units_of(day(*people.values()))
    people[asking] = replace(people[asking], apart=frozenset({asked}))
    units = units_of(day(*people.values()))
    assert len(units) == 2
    assert ("ann", "bob") not in units


def test_h8_holds_in_a_unit_of_three_and_leaves_no_trace():
    plan = plan_day(day(replace(ANN, apart=frozenset({"bob"})), BOB, CEM))
    assert len(in_water(plan)) == 2
    assert not {"ann", "bob"} <= in_water(plan)
    everything = repr(plan)
    assert "H8" not in everything
    assert "apart" not in everything


# --- H9: room ------------------------------------------------------------------------------------------------------


def test_h9_a_zone_holds_its_number_of_units():
    eight = [wader(f"p{number}") for number in range(8)]
    for units_max in (2, 3, 4):
        plan = plan_day(day(*eight, zones=zone(units_max=units_max)))
        assert len(plan.units) == units_max
    closed = plan_day(day(*eight, zones=zone(units_max=0)))
    assert closed.units == ()
    assert [reason.code for zone in closed.closed_zones for reason in zone.reasons] == ["H9.closed"]


# --- H10: spotters and first-aider -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("crew", "expected"),
    [
        pytest.param((FIRST_AIDER,), 4, id="the first-aider watches"),
        pytest.param((replace(FIRST_AIDER, water_ready=True), SPOTTER), 5, id="first-aider in the unit of three"),
        pytest.param((FIRST_AIDER, SPOTTER), 4, id="both on shore"),
    ],
)
def test_h10_a_spotter_and_a_first_aider_are_enough(crew: tuple[Volunteer, ...], expected: int):
    assert len(in_water(plan_day(day(ANN, BOB, CEM, DIA, crew=crew)))) == expected


def test_h10_without_an_adult_on_shore_somebody_stays_out():
    willing = [replace(one, first_aider=True) for one in (ANN, BOB, CEM, DIA)]
    plan = plan_day(day(*willing, crew=()))
    assert len(in_water(plan)) == 3
    assert [duty.role.value for duty in plan.shore] == ["spotter"]


def test_h10_a_child_does_not_watch():
    parent = replace(ANN, first_aider=True)
    plan = plan_day(day(parent, BOB, child("kit", "ann", water_ready=False), crew=(), zones=zone(20)))
    assert plan.units == ()
    assert "H10.no_spotter" in codes_of(plan, "bob")
    assert len(in_water(plan_day(day(parent, BOB, crew=(SPOTTER,), zones=zone(20))))) == 2


@pytest.mark.parametrize(("spotters", "units"), [(1, 5), (2, 6)])
def test_h10_one_spotter_for_each_started_five_units(spotters: int, units: int):
    twelve = [wader(f"p{number:02}") for number in range(12)]
    crew = (FIRST_AIDER, SPOTTER)[:spotters]
    plan = plan_day(day(*twelve, crew=crew))
    # With one adult on shore for six units' people, one of the twelve could watch: then 11 are in five units.
    assert len(plan.units) == units
    assert sum(duty.role.value == "spotter" for duty in plan.shore) == -(-units // 5)


def test_h10_each_zone_has_its_own_spotter():
    zones = (zone(60, 1, "a"), zone(60, 1, "b"))
    two = plan_day(day(ANN, BOB, CEM, DIA, zones=zones))
    assert {(duty.zone, duty.role.value) for duty in two.shore} == {("a", "spotter"), ("b", "spotter")}
    one = plan_day(day(ANN, BOB, CEM, DIA, zones=zones, crew=(FIRST_AIDER,)))
    assert len(in_water(one)) == 3


@pytest.mark.parametrize("helper", [None, child("kit", "ann", first_aider=True, water_ready=False)])
def test_h10_without_an_adult_first_aider_there_is_no_water_work(helper: Volunteer | None):
    crew = (SPOTTER,) if helper is None else (SPOTTER, helper)
    plan = plan_day(day(ANN, BOB, crew=crew))
    assert plan.status is Status.NO_WATER_WORK
    assert plan.units == ()
    assert "H10.no_first_aider" in codes_of(plan, "ann")
    assert "H10.no_first_aider" in [warning.code for warning in plan.warnings]
    assert in_water(plan_day(day(ANN, BOB, crew=(*crew, ashore("nurse", first_aider=True))))) == {"ann", "bob"}


def test_h10_a_first_aider_stays_on_shore_where_that_costs_nothing():
    nurse = wader("a-nurse", first_aider=True)
    others = [wader(name) for name in ("bob", "cem", "dia", "eli")]
    plan = plan_day(day(nurse, *others, crew=(SPOTTER,), zones=zone(units_max=2)))
    assert len(in_water(plan)) == 5  # goal 1 comes first
    plan = plan_day(day(nurse, *others, crew=(SPOTTER,), zones=zone(units_max=1)))
    assert len(in_water(plan)) == 3
    assert codes_of(plan, "a-nurse")[0] == "role.first_aider"


# --- H11: a shared language ------------------------------------------------------------------------------------------


def test_h11_members_share_a_language():
    french = replace(BOB, languages=frozenset({"fr"}))
    plan = plan_day(day(ANN, french))
    assert plan.units == ()
    assert "H11.no_partner" in codes_of(plan, "ann")
    assert units_of(day(ANN, replace(BOB, languages=frozenset({"fr", "en"})))) == BOTH


def test_h11_unknown_languages_are_shared_with_nobody():
    silent = [replace(one, languages=frozenset()) for one in (ANN, BOB)]
    plan = plan_day(day(*silent))
    assert plan.units == ()
    assert "H11.unknown" in codes_of(plan, "ann")


def test_h11_a_unit_of_three_has_one_language_in_common():
    pairs = ({"en", "fr"}, {"fr", "de"}, {"de", "en"})
    ring = [replace(one, languages=frozenset(spoken)) for one, spoken in zip((ANN, BOB, CEM), pairs, strict=True)]
    assert len(in_water(plan_day(day(*ring)))) == 2
    ring[2] = replace(CEM, languages=frozenset({"de", "en", "fr"}))
    assert len(in_water(plan_day(day(*ring)))) == 3
