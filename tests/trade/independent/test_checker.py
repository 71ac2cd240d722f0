"""The judge itself can fail: for each code, a sound plan and the least damage that is named with exactly that code."""

from collections.abc import Callable

import pytest

from tests.trade.independent.by_hand import (
    OWN_BOOTS,
    ashore,
    bare_day,
    gear,
    line,
    person,
    piece,
    sound_day,
    sound_plan,
    unit,
    zone,
)
from tests.trade.independent.by_hand import stock_line as in_stock
from tests.trade.independent.checker import broken_rules
from tests.trade.independent.limits import Json

Damage = Callable[[Json, Json], None]


def codes(day: Json, plan: Json) -> set[str]:
    return {breach.code for breach in broken_rules(day, plan)}


def who(day: Json, name: str) -> Json:
    found: Json = next(person for person in day["volunteers"] if person["id"] == name)
    return found


def where(day: Json, name: str) -> Json:
    found: Json = next(zone for zone in day["zones"] if zone["name"] == name)
    return found


def change_person(name: str, **changes: object) -> Damage:
    return lambda day, plan: who(day, name).update(changes)


def change_zone(name: str, **changes: object) -> Damage:
    return lambda day, plan: where(day, name).update(changes)


def change_policy(**changes: object) -> Damage:
    return lambda day, plan: day["policy"].update(changes)


def change_plan(key: str, value: object) -> Damage:
    return lambda day, plan: plan.update({key: value})


def change_shore(number: int, **changes: object) -> Damage:
    return lambda day, plan: plan["shore"][number].update(changes)


def change_line(number: int, **changes: object) -> Damage:
    return lambda day, plan: plan["gear"][number].update(changes)


def change_piece(unit_number: int, name: str, piece_number: int, **changes: object) -> Damage:
    return lambda day, plan: plan["units"][unit_number]["gear"][name][piece_number].update(changes)


def leave_alone(day: Json, plan: Json) -> None:
    """Finn goes home; eve stays in the shallow zone alone."""
    plan["units"][2] = unit("shallow", eve=[OWN_BOOTS])
    plan["not_placed"].append(ashore("finn", "", None))


def four_together(day: Json, plan: Json) -> None:
    everyone = plan["units"][0]["gear"] | plan["units"][1]["gear"]
    plan["units"][:2] = [unit("deep", **everyone)]
    who(day, "cleo")["languages"] = ["en"]


def two_trios(day: Json, plan: Json) -> None:
    day["volunteers"] += [person("lea"), person("max")]
    day["stock"] += [in_stock("chest waders", "44", 1)]
    where(day, "shallow")["units_max"] = 2
    plan["units"][2] = unit("shallow", eve=[OWN_BOOTS], finn=[OWN_BOOTS], lea=[OWN_BOOTS])
    plan["units"].append(unit("shallow", kit=[OWN_BOOTS], max=[OWN_BOOTS], nil=[OWN_BOOTS]))
    day["volunteers"].append(person("nil"))
    plan["not_placed"].clear()


def remove_gear(unit_number: int, name: str, item: str) -> Damage:
    def damage(day: Json, plan: Json) -> None:
        pieces = plan["units"][unit_number]["gear"][name]
        pieces[:] = [piece for piece in pieces if piece["item"] != item]
        for gear_line in [
            gear_line for gear_line in plan["gear"] if gear_line["item"] == item and gear_line["size"] == "42"
        ]:
            plan["gear"].remove(gear_line)
        for gear_line in [g for g in plan["gear"] if g["item"] == item == "life jacket" and g["size"] == "adult"]:
            gear_line["needed"] -= 1

    return damage


def give_wrong_waders(size: str) -> Damage:
    """Ada gets a size that the stock has but that does not fit her boots of 42."""

    def damage(day: Json, plan: Json) -> None:
        day["stock"].append(in_stock("chest waders", size, 1))
        plan["units"][0]["gear"]["ada"][0]["size"] = size
        plan["gear"][2] = line("chest waders", size, needed=1, own=0, in_stock=1)

    return damage


def give_wrong_jacket(day: Json, plan: Json) -> None:
    plan["units"][0]["gear"]["ada"][1]["size"] = "youth"
    plan["gear"][5] = line("life jacket", "adult", needed=2, own=0, in_stock=3)
    plan["gear"].append(line("life jacket", "youth", needed=1, own=0, in_stock=1))


def share_a_set(day: Json, plan: Json) -> None:
    """Ada and dov are both given the one set of 43."""
    plan["units"][0]["gear"]["ada"][0]["size"] = "43"
    plan["gear"][2:4] = [line("chest waders", "43", needed=2, own=0, in_stock=1)]


def take_more_than_there_is(day: Json, plan: Json) -> None:
    day["stock"][3]["count"] = 2
    plan["gear"][5] = line("life jacket", "adult", needed=3, own=0, in_stock=2)


def minor_without_guardian_in_unit(day: Json, plan: Json) -> None:
    """Hana goes in with finn, and eve, the guardian, watches from the shore."""
    who(day, "hana")["stature_cm"] = 170
    plan["units"][2] = unit("shallow", hana=[OWN_BOOTS], finn=[OWN_BOOTS])
    plan["shore"][1]["id"] = "eve"


def barefoot(day: Json, plan: Json) -> None:
    """Old stubs are sharp (design, rule 5)."""
    plan["units"][2]["gear"]["eve"] = []


def lend_boots(size: str) -> Damage:
    def damage(day: Json, plan: Json) -> None:
        day["stock"].append(in_stock("boots", size, 1))
        plan["units"][2]["gear"]["eve"] = [piece("boots", size)]

    return damage


def too_many_units(day: Json, plan: Json) -> None:
    where(day, "deep")["units_max"] = 1


def spotter_also_in_unit(day: Json, plan: Json) -> None:
    plan["not_placed"].append(plan["shore"].pop(0) | {"role": "hauler"})
    plan["shore"].append(ashore("ada", "spotter", "deep"))


def first_aider_is_a_minor(day: Json, plan: Json) -> None:
    who(day, "ada")["first_aider"] = False
    who(day, "ivo")["first_aider"] = True


def add_minor_spotter(day: Json, plan: Json) -> None:
    plan["shore"].append(ashore("max", "spotter", "deep"))
    day["volunteers"].append(person("max", adult=False, guardian="gus"))


def close_a_used_zone(day: Json, plan: Json) -> None:
    plan["closed_zones"].append({"zone": "shallow", "reasons": [{"code": "H7", "text": "Closed."}]})


def work_a_closed_bank(day: Json, plan: Json) -> None:
    plan["closed_zones"].append({"zone": "bank", "reasons": [{"code": "H9", "text": "Closed."}]})


def put_unit_on_land(day: Json, plan: Json) -> None:
    plan["units"][2]["zone"] = "bank"


def add_jacket_twice(day: Json, plan: Json) -> None:
    day["stock"][3]["count"] = 4
    plan["units"][0]["gear"]["ada"].append(piece("life jacket", "adult"))
    plan["gear"][5] = line("life jacket", "adult", needed=4, own=0, in_stock=4)


def forget_a_gear_entry(day: Json, plan: Json) -> None:
    del plan["units"][2]["gear"]["finn"]


def give_what_nobody_owns(day: Json, plan: Json) -> None:
    who(day, "ben")["own"] = []


def use_anothers_own(day: Json, plan: Json) -> None:
    """Ada wears the waders that ben owns, and he hers of the stock."""
    who(day, "ben")["boot_eu"] = 42
    gear_of = plan["units"][0]["gear"]
    gear_of["ada"][0], gear_of["ben"][0] = gear_of["ben"][0], gear_of["ada"][0]


def stand_twice(day: Json, plan: Json) -> None:
    plan["not_placed"].append({"id": "ada", "reasons": [{"code": "H1", "text": "Rests."}]})


def pair_with_oneself(day: Json, plan: Json) -> None:
    plan["units"][2]["members"] = ["eve", "eve"]
    plan["units"][2]["gear"] = {"eve": [OWN_BOOTS]}
    plan["not_placed"].append(ashore("finn", "", None))


DAMAGES: list[tuple[str, str, Damage]] = [
    ("H1", "a person in water alone", leave_alone),
    ("H1", "a unit of four", four_together),
    ("H1", "two units of three", two_trios),
    ("H1", "a spade crew in water", change_shore(3, zone="shallow")),
    ("H2", "nobody with an earlier water day", change_person("ada", water_days=0)),
    ("H2", "not enough earlier water days for this group", change_policy(water_days_min=2)),
    ("H2", "experience only of a minor", change_person("eve", water_days=0)),
    ("H2", "unknown experience", change_person("ada", water_days=None)),
    ("H3", "a minor in deep water", change_person("ben", adult=False, guardian="ada")),
    ("H3", "a minor without the guardian in the unit", minor_without_guardian_in_unit),
    ("H3", "a minor with no guardian", change_person("finn", guardian=None)),
    ("H3", "a minor deeper than this group allows", change_policy(minor_depth_cm_max=19)),
    ("H4", "a person who did not offer", change_person("finn", water_ready=False)),
    ("H5", "no waders in water work", remove_gear(0, "ada", "chest waders")),
    ("H5", "no life jacket in water work", remove_gear(0, "ada", "life jacket")),
    ("H5", "waders under the boot size", give_wrong_waders("40")),
    ("H5", "waders two sizes above", give_wrong_waders("44")),
    ("H5", "a life jacket of the wrong class", give_wrong_jacket),
    ("H5", "an unknown body mass", change_person("ada", mass_kg=None)),
    ("H5", "a body mass below every class", change_person("dov", mass_kg=13.5)),
    ("H5", "an own life jacket and an unknown body mass", change_person("dov", mass_kg=None)),
    ("H5", "own waders and an unknown boot size", change_person("ben", boot_eu=None)),
    ("H5", "an unknown boot size", change_person("ada", boot_eu=None)),
    ("H5", "bare feet in shallow water", barefoot),
    ("H5", "boots of the stock that do not fit", lend_boots("41")),
    ("H6", "water over half the stature", change_person("ada", stature_cm=119)),
    ("H6", "an unknown stature", change_person("eve", stature_cm=None)),
    ("H6", "water over a lowered limit", change_policy(wading_depth_cm_max=59)),
    ("H6", "water over a lowered share of stature", change_policy(wading_stature_share=0.33)),
    ("H8", "two to be kept apart", change_person("ada", apart=["ben"])),
    ("H8", "two to be kept apart, asked by the other", change_person("ben", apart=["ada"])),
    ("H9", "more units than the zone holds", too_many_units),
    ("H9", "a zone that takes nobody", change_zone("shallow", units_max=0)),
    ("H10", "a zone without a spotter", change_shore(1, zone="deep")),
    ("H10", "a spotter missing", change_shore(0, role="sign-in desk", zone=None)),
    ("H10", "a second group of units without a spotter", change_policy(units_per_spotter=1)),
    ("H10", "no first-aider", change_person("ada", first_aider=False)),
    ("H10", "no first-aider of age", first_aider_is_a_minor),
    ("H11", "no shared language", change_person("ben", languages=["fr"])),
    ("H11", "an unknown language", change_person("ben", languages=[])),
    ("S-TWICE", "one person in two places", stand_twice),
    ("S-MISSING", "a person in no place", change_plan("not_placed", [])),
    ("S-UNKNOWN", "an unknown person", change_shore(2, id="zoe")),
    ("S-UNKNOWN", "an unknown zone", change_shore(3, zone="pond")),
    ("S-ROLE", "an unknown role", change_shore(3, role="cook", zone=None)),
    ("S-ROLE", "a first-aider who is none", change_shore(3, role="first-aider")),
    ("S-MINOR", "a minor as spotter", add_minor_spotter),
    ("S-MINOR", "a minor with another role than hauling", change_shore(2, role="sign-in desk")),
    ("S-MINOR", "a minor whose guardian is not on the roster", change_person("ivo", guardian="elsewhere")),
    ("S-CLOSED", "a unit in a zone named as closed", close_a_used_zone),
    ("S-CLOSED", "a spade crew in a zone named as closed", work_a_closed_bank),
    ("S-CLOSED", "a fast zone that is not named as closed", change_plan("closed_zones", [])),
    ("S-GEAR", "the same item twice", add_jacket_twice),
    ("S-GEAR", "a member without an entry", forget_a_gear_entry),
    ("S-NOT-OWNED", "own gear that nobody owns", give_what_nobody_owns),
    ("S-NOT-OWNED", "own gear of somebody else", use_anothers_own),
    ("S-STOCK", "one set for two people", share_a_set),
    ("S-NOT-OWNED", "own gear that nobody ashore owns", change_shore(3, gear=[piece("gloves", "9", "own")])),
    ("S-STOCK", "gear ashore that is not in stock", change_shore(3, gear=[piece("gloves", "9")])),
    ("S-STOCK", "more sets than in stock", take_more_than_there_is),
    ("S-LINE", "a wrong need", change_line(5, needed=2)),
    ("S-LINE", "more needed than could be used", change_line(5, needed=6, short=3)),
    ("S-LINE", "a wrong count of own gear", change_line(5, own=1)),
    ("S-LINE", "a wrong stock", change_line(5, in_stock=9)),
    ("S-LINE", "a wrong shortage", change_line(5, short=1)),
    ("S-LINE", "a shortage of own gear", change_line(0, short=1)),
    ("S-LINE", "the wrong size", change_line(1, size="40", in_stock=0, short=1)),
    ("S-STATUS", "units on a day without water work", change_plan("status", "no_water_work")),
    ("S-SHAPE", "an unknown status", change_plan("status", "fine")),
    ("S-SHAPE", "a goal without a number", change_plan("objective", [6, 1, 1, 1])),
    ("S-SHAPE", "no list of warnings", change_plan("warnings", None)),
    ("S-SHAPE", "a size that is a number", change_piece(0, "ada", 0, size=42)),
    ("S-SHAPE", "gear from nowhere", change_piece(0, "ada", 0, **{"from": "shop"})),
    ("S-SHAPE", "a true for a number", change_line(0, needed=True)),
    ("S-REASON", "a role without a reason", change_shore(0, reasons=[])),
    ("S-REASON", "a reason without words", change_shore(0, reasons=[{"code": "H10", "text": " "}])),
]


def test_the_sound_plan_breaks_nothing() -> None:
    assert broken_rules(sound_day(), sound_plan()) == []


@pytest.mark.parametrize(("code", "damage"), [pytest.param(c, d, id=f"{c} {text}") for c, text, d in DAMAGES])
def test_a_damage_is_named_with_its_code_alone(code: str, damage: Damage) -> None:
    day, plan = sound_day(), sound_plan()
    damage(day, plan)
    assert codes(day, plan) == {code}


def test_every_hard_rule_has_a_damage() -> None:
    """H7 closes a zone, so its damage brings a second code and has its own test below."""
    assert {f"H{number}" for number in range(1, 12)} - {"H7"} <= {code for code, _, _ in DAMAGES}


def test_a_unit_in_water_too_fast_is_named() -> None:
    day, plan = sound_day(), sound_plan()
    where(day, "deep")["current_m_s"] = 0.78
    assert codes(day, plan) == {"H7", "S-CLOSED"}, "0.60 m x 0.78 m/s = 0.468 is over 0.929 / 2"
    where(day, "deep")["current_m_s"] = 0.77
    assert codes(day, plan) == set(), "0.60 m x 0.77 m/s = 0.462 is under 0.929 / 2"
    where(day, "deep")["current_m_s"] = None
    assert codes(day, plan) == {"H7", "S-CLOSED"}, "an unknown current is not known to be safe"


@pytest.mark.parametrize(
    ("depth_cm", "current_m_s", "fast"),
    # The waders' rule of ten on its own, safety factor 1: rows of the table of published check values.
    [
        (30.5, 0.914, False),
        (61, 1.494, False),
        (61, 1.524, True),
        (91.4, 1.006, False),
        (91.4, 1.036, True),
        (90, 1.05, True),
    ],
)
def test_fast_water_follows_the_published_rows(depth_cm: float, current_m_s: float, fast: bool) -> None:
    day = bare_day(
        [zone("race", 1) | {"depth_cm": depth_cm, "current_m_s": current_m_s}], [], [], {"wading_safety_factor": 1}
    )
    plan = sound_plan() | {"units": [], "shore": [], "not_placed": [], "closed_zones": [], "gear": []}
    assert codes(day, plan) == ({"S-CLOSED"} if fast else set())


@pytest.mark.parametrize(
    ("mass_kg", "jacket"),
    # Classes of 46 CFR 160.047-2: 41.0 kg adult, 40.0 kg youth, 22.0 kg small child; 13.0 kg infant (from memory).
    [(41.0, "adult"), (40.8, "youth"), (40.0, "youth"), (22.7, "youth"), (22.0, "child"), (13.6, "child")],
)
def test_the_jacket_follows_the_mass(mass_kg: float, jacket: str) -> None:
    everyone = [person("ada", mass_kg=mass_kg), person("ben", first_aider=True), person("gus", water_ready=False)]
    for given in ("adult", "youth", "child"):
        day = bare_day(
            [zone("deep", 60)], everyone, [in_stock("chest waders", "42", 2), in_stock("life jacket", "adult", 2)]
        )
        day["stock"] += [in_stock("life jacket", "youth", 1), in_stock("life jacket", "child", 1)]
        plan = sound_plan() | {
            "units": [unit("deep", ada=gear("42", given), ben=gear("42", "adult"))],
            "shore": [ashore("gus", "spotter", "deep")],
            "not_placed": [],
            "closed_zones": [],
            "gear": [line("chest waders", "42", needed=2, own=0, in_stock=2)],
        }
        adults = 1 + (given == "adult")
        plan["gear"].append(line("life jacket", "adult", needed=adults, own=0, in_stock=2))
        if given != "adult":
            plan["gear"].append(line("life jacket", given, needed=1, own=0, in_stock=1))
        assert codes(day, plan) == (set() if given == jacket else {"H5"})


def test_a_unit_on_dry_land_is_named() -> None:
    day, plan = sound_day(), sound_plan()
    put_unit_on_land(day, plan)
    assert codes(day, plan) == {"S-DRY", "H10"}, "nobody spots at the bank either"


def test_a_person_paired_with_themselves_is_named() -> None:
    day, plan = sound_day(), sound_plan()
    pair_with_oneself(day, plan)
    assert "S-TWICE" in codes(day, plan)


def test_a_spotter_taken_from_a_unit_does_not_count() -> None:
    day, plan = sound_day(), sound_plan()
    spotter_also_in_unit(day, plan)
    assert codes(day, plan) == {"H10", "S-TWICE"}


def test_a_trained_lead_counts_as_experience() -> None:
    day, plan = sound_day(), sound_plan()
    who(day, "ada").update(water_days=0, lead=True)
    assert codes(day, plan) == set()


def test_a_sixth_unit_needs_a_second_spotter() -> None:
    names = [f"p{number:02d}" for number in range(12)]
    watchers = [person("gus", water_ready=False, first_aider=True), person("hana", water_ready=False)]
    day = bare_day([zone("shallow", 20, units_max=6)], [person(name) for name in names] + watchers, [])
    units = [
        unit("shallow", **{one: [OWN_BOOTS], other: [OWN_BOOTS]})
        for one, other in zip(names[::2], names[1::2], strict=True)
    ]
    plan = sound_plan() | {"units": units, "not_placed": [], "closed_zones": [], "gear": []}
    plan["shore"] = [ashore("gus", "spotter", "shallow"), ashore("hana", "spotter", "shallow")]
    assert codes(day, plan) == set()
    plan["shore"][1]["role"] = "hauler"
    assert codes(day, plan) == {"H10"}


def test_one_unit_of_three_is_allowed() -> None:
    day, plan = sound_day(), sound_plan()
    plan["units"][2] = unit("shallow", eve=[OWN_BOOTS], finn=[OWN_BOOTS], kit=[OWN_BOOTS])
    plan["not_placed"] = []
    assert codes(day, plan) == set()


def test_what_is_no_plan_at_all_is_named() -> None:
    assert [breach.code for breach in broken_rules(sound_day(), [])] == ["S-SHAPE"]  # type: ignore[arg-type]
