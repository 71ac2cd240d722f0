"""An organizer's pins: what they do to a plan, and the code with which an impossible one is refused."""

from dataclasses import replace
from decimal import Decimal

import pytest

from reedcrew.trade.day import Day
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.pairing import pin_refusals, plan_day, replan
from reedcrew.trade.pins import Pin, PinKind, PinsRefused
from reedcrew.trade.plan import Role
from reedcrew.trade.told import told_of
from tests.trade.pairing_days import SPOTTER, ashore, child, codes_of, day, in_water, sets, wader, zone

DEEP, EDGE, LAND = zone(60, 3, "deep"), zone(20, 3, "edge"), zone(0, 1, "land")


def pair(person: str, other: str) -> Pin:
    return Pin(kind=PinKind.PAIR, person=person, other=other)


def into(person: str, name: str) -> Pin:
    return Pin(kind=PinKind.ZONE, person=person, zone=name)


def role(person: str, held: Role, name: str | None = None) -> Pin:
    return Pin(kind=PinKind.ROLE, person=person, role=held, zone=name)


def pinned(of_day: Day, *pins: Pin) -> Day:
    return replace(of_day, pins=pins)


def four(**facts) -> Day:
    people = [wader(name, **facts) for name in "abcd"]
    return day(*people, zones=(DEEP, EDGE, LAND), crew=(ashore("f", first_aider=True), SPOTTER, ashore("z1")))


# --- Pins that are kept ----------------------------------------------------------------------------------------------


def test_a_pinned_pair_and_zone_are_kept_against_the_wishes():
    of_day = pinned(four(wishes=frozenset("b")), pair("a", "d"), into("a", "edge"))
    plan = plan_day(of_day)
    assert ("edge", ("a", "d")) in {(unit.zone, unit.members) for unit in plan.units}


@pytest.mark.parametrize(
    "pin",
    [
        Pin(kind=PinKind.NOT_PAIR, person="a", other="b"),
        Pin(kind=PinKind.NOT_PAIR, person="b", other="a"),
    ],
)
def test_a_pair_pinned_apart_is_in_no_unit_and_nobody_reads_why(pin: Pin):
    of_day = day(wader("a", wishes=frozenset("b")), wader("b"))
    assert in_water(plan_day(of_day)) == {"a", "b"}
    plan = plan_day(pinned(of_day, pin))
    assert in_water(plan) == set()
    assert "H1.no_partner" in codes_of(plan, "a")


def test_pins_keep_people_out_of_a_zone_the_water_and_a_role():
    of_day = pinned(
        four(),
        Pin(kind=PinKind.NOT_WATER, person="a"),
        Pin(kind=PinKind.NOT_ZONE, person="b", zone="deep"),
        Pin(kind=PinKind.NOT_ROLE, person="z-spotter", role=Role.SPOTTER),
    )
    plan = plan_day(of_day)
    assert "a" not in in_water(plan)
    assert "pin.not_water" in codes_of(plan, "a")
    assert "b" not in {member for unit in plan.units if unit.zone == "deep" for member in unit.members}
    assert ("z-spotter", Role.SPOTTER) not in {(duty.volunteer, duty.role) for duty in plan.shore}


def test_a_pinned_role_is_held_at_its_zone():
    plan = plan_day(pinned(four(), role("a", Role.SPADE_CREW, "land"), role("z1", Role.SIGN_IN_DESK)))
    held = {duty.volunteer: (duty.role, duty.zone) for duty in plan.shore}
    assert held["a"] == (Role.SPADE_CREW, "land")
    assert held["z1"] == (Role.SIGN_IN_DESK, None)


def test_who_is_pinned_out_of_every_role_has_none_and_reads_why():
    out = [Pin(kind=PinKind.NOT_ROLE, person="z1", role=each) for each in Role]
    plan = plan_day(pinned(four(), *out))
    assert codes_of(plan, "z1")[-1] == "pin.no_role"
    assert "z1" in {left.volunteer for left in plan.not_placed}


# --- Pins that are refused -------------------------------------------------------------------------------------------

KIT, G = child("kit", "g"), wader("g", water_days=3)


@pytest.mark.parametrize(
    ("of_day", "pins", "code", "places"),
    [
        (day(wader("a", water_ready=False), wader("b")), (pair("a", "b"),), "H4", (0,)),
        (day(wader("a", apart=frozenset("b")), wader("b")), (pair("b", "a"),), "H8", (0,)),
        (day(wader("a", languages=frozenset({"pl"})), wader("b")), (pair("a", "b"),), "H11", (0,)),
        (day(wader("a", water_days=0), wader("b", water_days=0)), (pair("a", "b"),), "H2", (0,)),
        (day(KIT, G, zones=(DEEP, EDGE)), (into("kit", "deep"),), "H3", (0,)),
        (day(KIT, G, zones=EDGE), (role("kit", Role.SPOTTER, "edge"),), "H3", (0,)),
        (day(wader("a", stature_cm=100), wader("b"), zones=(DEEP, EDGE)), (into("a", "deep"),), "H6", (0,)),
        (day(wader("a", boot_eu=Decimal(47)), zones=(DEEP, EDGE)), (into("a", "deep"),), "H5", (0,)),
        (day(wader("a"), zones=zone(60, current_m_s=1.2)), (into("a", "reach"),), "H7", (0,)),
        (day(wader("a"), zones=zone(60, 0)), (into("a", "reach"),), "H9", (0,)),
        (day(wader("a"), wader("b"), crew=()), (pair("a", "b"),), "H10", (0,)),
        (day(wader("a"), wader("b"), crew=(ashore("f"),)), (role("f", Role.FIRST_AIDER),), "H10", (0,)),
        (day(wader("a"), zones=(EDGE, LAND)), (role("a", Role.SPADE_CREW, "edge"),), "H1", (0,)),
        (day(wader("a"), zones=(EDGE, LAND)), (into("a", "land"),), "pins", (0,)),
        # Each alone could be kept.
        (four(), (pair("a", "b"), pair("c", "d"), pair("b", "c")), "H1", (0, 1, 2)),
        (day(*(wader(n) for n in "abcd"), zones=zone(60, 1)), (pair("a", "b"), pair("c", "d")), "H9", (0, 1)),
        (day(*(wader(n) for n in "abcd"), stock=sets({"42": 3})), (pair("a", "b"), pair("c", "d")), "H5", (0, 1)),
        (four(), (pair("a", "b"), Pin(kind=PinKind.NOT_PAIR, person="b", other="a")), "pins", (0, 1)),
        (four(), (role("a", Role.HAULER), pair("c", "d"), into("a", "edge")), "pins", (0, 2)),
        (four(), (role("a", Role.HAULER), role("a", Role.SIGN_IN_DESK)), "pins", (0, 1)),
    ],
)
def test_a_pin_that_breaks_a_rule_is_refused_with_its_code(of_day: Day, pins, code: str, places):
    asked = pinned(of_day, *pins)
    (refusal,) = pin_refusals(asked)
    assert (refusal.code, refusal.places) == (code, places)
    assert refusal.pins == tuple(pins[place] for place in places)
    assert refusal.reason.text.endswith(".")
    with pytest.raises(PinsRefused) as refused:
        plan_day(asked)
    assert refused.value.refusals == (refusal,)


def test_too_few_adults_are_left_to_watch():
    of_day = day(wader("a"), wader("b", first_aider=True), ashore("z"), zones=(DEEP, LAND), crew=())
    (refusal,) = pin_refusals(pinned(of_day, pair("a", "b"), role("z", Role.SIGN_IN_DESK)))
    assert (refusal.code, refusal.places) == ("H10", (0, 1))


def test_pins_that_can_be_kept_are_not_refused():
    assert pin_refusals(four()) == ()
    assert pin_refusals(pinned(four(), pair("a", "b"), into("c", "edge"))) == ()


@pytest.mark.parametrize(
    ("pin", "where"),
    [
        (Pin(kind=PinKind.PAIR, person="nobody", other="a"), "pins[0].person"),
        (Pin(kind=PinKind.PAIR, person="a", other="a"), "pins[0].other"),
        (Pin(kind=PinKind.PAIR, person="a"), "pins[0].other"),
        (Pin(kind=PinKind.ZONE, person="a", zone="nowhere"), "pins[0].zone"),
        (Pin(kind=PinKind.ROLE, person="a"), "pins[0].role"),
        (Pin(kind=PinKind.ROLE, person="a", role=Role.SPOTTER), "pins[0].zone"),
        (Pin(kind=PinKind.ROLE, person="a", role=Role.HAULER, zone="deep"), "pins[0].zone"),
        (Pin(kind=PinKind.NOT_WATER, person="a", role=Role.HAULER), "pins[0].role"),
    ],
)
def test_a_pin_without_its_fields_is_unusable(pin: Pin, where: str):
    for ask in (plan_day, pin_refusals):
        with pytest.raises(UnusableInput) as refused:
            ask(pinned(four(), pin))
        assert [fault.where for fault in refused.value.faults] == [where]


# --- The day itself --------------------------------------------------------------------------------------------------


def without(of_day: Day, *away: str) -> Day:
    return replace(of_day, volunteers=tuple(one for one in of_day.volunteers if one.id not in away))


def test_after_a_no_show_only_the_partner_left_alone_is_changed():
    of_day = day(*(wader(name) for name in "abcdef"), crew=(ashore("f0", first_aider=True), SPOTTER, ashore("z1")))
    before = plan_day(of_day)
    gone = before.units[0].members[0]
    after = replan(without(of_day, gone), told_of(before))
    assert after.changed == (before.units[0].members[1],)
    assert {unit.members for unit in before.units[1:]} <= {
        tuple(member for member in unit.members if member not in after.changed) for unit in after.units
    } | {unit.members for unit in after.units}
    assert {(duty.volunteer, duty.role) for duty in before.shore} <= {
        (duty.volunteer, duty.role) for duty in after.shore
    }


def test_fewer_changes_go_before_more_people_in_water():
    # The spotter stays away. Told z1 hauls: making z1 watch changes one person and keeps two pairs in water.
    crew = (ashore("f0", first_aider=True), ashore("z0"), ashore("z1"))
    of_day = day(*(wader(name) for name in "abcd"), crew=crew)
    before = plan_day(of_day)
    spotter = next(duty.volunteer for duty in before.shore if duty.role is Role.SPOTTER)
    after = replan(without(of_day, spotter), told_of(before))
    assert len(after.changed) == after.changed_bound == 1
    assert in_water(after) == set("abcd")


def test_who_is_told_two_things_is_a_fault():
    before = told_of(plan_day(four()))
    twice = replace(before, units=(*before.units, before.units[0]))
    with pytest.raises(UnusableInput):
        replan(four(), twice)
