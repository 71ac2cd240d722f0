"""Roles on shore, filled from those who are in no unit."""

from collections import Counter
from dataclasses import replace

from reedcrew.trade.day import Day
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.plan import Plan, Role
from tests.trade.pairing_days import FIRST_AIDER, SPOTTER, ashore, child, codes_of, day, wader, zone

PAIR = (wader("a"), wader("b"))


def roles_of(plan: Plan) -> dict[str, tuple[Role, str | None]]:
    return {duty.volunteer: (duty.role, duty.zone) for duty in plan.shore}


def counts(of_day: Day) -> Counter[Role]:
    return Counter(duty.role for duty in plan_day(of_day).shore)


def test_a_full_crew_fills_every_role():
    crew = (FIRST_AIDER, SPOTTER, *(ashore(f"s{number}") for number in range(5)))
    zones = (zone(60, 3, "reach"), zone(0, 1, "bank"))
    plan = plan_day(day(*PAIR, zones=zones, crew=crew))
    assert roles_of(plan) == {
        "s0": (Role.SPOTTER, "reach"),
        "z-first-aider": (Role.FIRST_AIDER, None),
        "s1": (Role.SIGN_IN_DESK, None),
        "s2": (Role.HAULER, None),
        "s3": (Role.SPADE_CREW, "bank"),
        "s4": (Role.SPADE_CREW, "bank"),
        "z-spotter": (Role.HAULER, None),
    }
    assert codes_of(plan, "s3") == ["role.spade_crew", "H4"]


def test_the_most_experienced_watch_and_first_aiders_stay_free():
    crew = (FIRST_AIDER, ashore("novice", water_days=0), ashore("old hand", water_days=8))
    plan = plan_day(day(*PAIR, crew=crew))
    assert roles_of(plan)["old hand"] == (Role.SPOTTER, "reach")
    assert roles_of(plan)["z-first-aider"] == (Role.FIRST_AIDER, None)


def test_the_only_adult_on_shore_watches_even_as_first_aider():
    assert roles_of(plan_day(day(*PAIR, crew=(FIRST_AIDER,)))) == {"z-first-aider": (Role.SPOTTER, "reach")}


def test_people_under_18_only_haul():
    kit = child("kit", "z-spotter", water_ready=False, first_aider=True)
    plan = plan_day(day(*PAIR, kit, zones=(zone(60, 3, "reach"), zone(0, 9, "bank"))))
    assert roles_of(plan)["kit"] == (Role.HAULER, None)
    assert codes_of(plan, "kit")[0] == "role.hauler_minor"


def test_dry_zones_take_two_people_a_unit_those_with_most_stems_first():
    zones = (
        replace(zone(0, 1, "small"), stems=10),
        replace(zone(0, 1, "large"), stems=900),
        zone(0, 0, "closed"),
    )
    people = [ashore(f"p{number}") for number in range(6)]
    plan = plan_day(day(*people, zones=zones, crew=()))
    by_zone = Counter(duty.zone for duty in plan.shore if duty.role is Role.SPADE_CREW)
    assert by_zone == {"large": 2, "small": 2}
    assert roles_of(plan)["p1"] == (Role.SPADE_CREW, "large")
    assert counts(day(*people, zones=zones, crew=())) == {
        Role.SIGN_IN_DESK: 1,
        Role.SPADE_CREW: 4,
        Role.HAULER: 1,
    }


def test_shallow_water_has_no_spade_crew():
    plan = plan_day(day(*PAIR, ashore("c"), zones=zone(20)))
    assert Role.SPADE_CREW not in {duty.role for duty in plan.shore}


def test_one_adult_alone_cuts_rather_than_keeping_a_desk():
    plan = plan_day(day(ashore("a"), zones=zone(0), crew=()))
    assert roles_of(plan) == {"a": (Role.SPADE_CREW, "reach")}


def test_a_day_without_any_work_places_nobody():
    plan = plan_day(day(*PAIR, zones=zone(60, units_max=0)))
    assert plan.shore == ()
    assert {left.volunteer for left in plan.not_placed} == {"a", "b", "z-first-aider", "z-spotter"}
    assert codes_of(plan, "a") == ["H9.no_zone", "role.no_work"]


def test_a_spotter_is_somebody_whose_warning_is_understood():
    """Common practice, no source: a shout from the shore must be understood in the water."""
    stranger = ashore("a-stranger", water_days=50, languages=frozenset({"pl"}))
    plan = plan_day(day(*PAIR, stranger))
    roles = {duty.volunteer: duty.role for duty in plan.shore}
    assert roles["z-spotter"] is Role.SPOTTER
    assert roles["a-stranger"] is not Role.SPOTTER
