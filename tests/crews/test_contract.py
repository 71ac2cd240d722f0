"""The plan contract: what a day in JSON means, how faults are named, and how a plan is written."""

import copy
import datetime
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from reedcrew.crews.contract import day_from_json, error_as_json, plan_as_json, read_json
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.month_day import MonthDay
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.policy import DEFAULT_POLICY

EXAMPLES = Path(__file__).parent / "examples"
CALM = json.loads((EXAMPLES / "calm_day.json").read_text())


def changed(path: str, value: Any) -> dict[str, Any]:
    """The calm day with one field set; a path is like ``volunteers/3/boot_eu``."""
    day: dict[str, Any] = copy.deepcopy(CALM)
    *parents, last = [int(part) if part.isdecimal() else part for part in path.split("/")]
    place: Any = day
    for part in parents:
        place = place[part]
    place[last] = value
    return day


def faults_of(value: Any) -> list[str]:
    with pytest.raises(UnusableInput) as refused:
        day_from_json(value)
    return [fault.where for fault in refused.value.faults]


# --- What a day means -----------------------------------------------------------------------------------------------


def test_a_day_is_read_with_its_units():
    day, warnings = day_from_json(CALM)
    ada = day.volunteers[0]
    assert warnings == ()
    assert day.start == datetime.datetime(2025, 8, 2, 13, tzinfo=datetime.UTC)  # 09:00 in Toronto's summer time
    assert day.hours == 3
    assert (ada.id, ada.adult, ada.stature_cm, ada.boot_eu, ada.hand_mm) == ("ada", True, 178, Decimal(42), 229)
    assert ada.jacket_class is JacketClass.ADULT
    assert day.volunteers[2].own == {Item.CHEST_WADERS}
    assert [zone.depth_cm for zone in day.zones] == [60, 0]
    assert day.weather is not None
    assert (day.weather.temp_c, day.weather.wind_km_h) == (24, None)
    assert day.policy == DEFAULT_POLICY


@pytest.mark.parametrize(
    # 46 CFR 160.047-2 and 160.060-2, in check-values' section on life jackets: over 40.8, from 22.7, from 13.6 kg.
    ("mass_kg", "jacket"),
    [(40.9, "adult"), (40.8, "youth"), (22.7, "youth"), (22.6, "child"), (13.6, "child"), (13.5, None), (None, None)],
)
def test_body_mass_becomes_the_life_jackets_class(mass_kg: float | None, jacket: str | None):
    day, _ = day_from_json(changed("volunteers/0/mass_kg", mass_kg))
    assert day.volunteers[0].jacket_class == jacket


def test_parts_of_a_centimetre_round_to_the_side_of_safety():
    assert day_from_json(changed("zones/0/depth_cm", 60.1))[0].zones[0].depth_cm == 61
    assert day_from_json(changed("volunteers/0/stature_cm", 177.9))[0].volunteers[0].stature_cm == 177


def test_null_and_absent_measures_are_unknown():
    day = copy.deepcopy(CALM)
    day["volunteers"] = [{"id": "x", "adult": True}, {"id": "y", "adult": False, "stature_cm": None, "guardian": None}]
    del day["stock"], day["weather"], day["policy"]
    read, _ = day_from_json(day)
    x = read.volunteers[0]
    assert (x.stature_cm, x.jacket_class, x.boot_eu, x.water_ready, x.water_days) == (None, None, None, False, 0)
    assert x.languages == frozenset()
    assert read.stock == ()


def test_people_who_are_not_on_the_roster_may_be_named():
    day = changed("volunteers/0/wishes", ["nobody"])
    day["volunteers"][1].update(adult=False, guardian="nobody", apart=["nobody"], recent=["nobody"])
    read, _ = day_from_json(day)
    assert read.volunteers[1].guardian == "nobody"
    assert "bo" in {left.volunteer for left in plan_day(read).not_placed}


def test_languages_are_compared_without_case():
    assert day_from_json(changed("volunteers/0/languages", ["EN", "Fr"]))[0].volunteers[0].languages == {"en", "fr"}


def test_policy_overrides_replace_defaults_one_by_one():
    day = changed("policy", {"units_per_spotter": 3, "wading_stature_share": 0.4, "window_opens": "08-01"})
    policy = day_from_json(day)[0].policy
    assert (policy.units_per_spotter, policy.wading_stature_share) == (3, 0.4)
    assert policy.window_opens == MonthDay(8, 1)
    assert policy.wading_depth_cm_max == DEFAULT_POLICY.wading_depth_cm_max


def test_sizes_may_be_numbers():
    assert day_from_json(changed("stock/0/size", 39))[0].stock[0].size == "39"


def test_a_day_on_which_the_clocks_change_keeps_its_true_length():
    day = copy.deepcopy(CALM)
    day["day"] = {"date": "2025-11-02", "start": "00:30", "end": "03:30", "timezone": "America/Toronto"}
    assert day_from_json(day)[0].hours == 4


def test_unknown_fields_are_left_aside_with_one_warning_each():
    day = changed("volunteers/0/nickname", "A")
    day["volunteers"][1]["nickname"] = "B"
    day["comment"] = "early"
    day["weather"]["cloud_percent"] = 10
    _, warnings = day_from_json(day)
    assert [warning.text for warning in warnings] == [
        "volunteers[].nickname is no field of the plan contract and was left aside.",
        "comment is no field of the plan contract and was left aside.",
    ]


# --- Faults --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "where"),
    [
        ("day", None, "day"),
        ("day", [], "day"),
        ("day/date", "2025-02-30", "day.date"),
        ("day/date", 20250802, "day.date"),
        ("day/start", "25:00", "day.start"),
        ("day/start", "09:00+02:00", "day.start"),
        ("day/end", "09:00", "day.end"),
        ("day/end", "08:59", "day.end"),
        ("day/end", None, "day.end"),
        ("day/timezone", "Mars/Olympus", "day.timezone"),
        ("day/timezone", "../../etc/passwd", "day.timezone"),
        ("day/timezone", "America", "day.timezone"),
        ("day/timezone", "", "day.timezone"),
        ("policy", [], "policy"),
        ("policy", {"gravity": 1}, "policy.gravity"),
        ("policy", {"units_per_spotter": 0}, "policy.units_per_spotter"),
        ("policy", {"units_per_spotter": 2.5}, "policy.units_per_spotter"),
        ("policy", {"wading_stature_share": "half"}, "policy.wading_stature_share"),
        ("policy", {"window_opens": "W01-1"}, "policy.window_opens"),
        ("policy", {"window_opens": "02-30"}, "policy.window_opens"),
        ("weather", 20, "weather"),
        ("weather/temp_c", 400, "weather.temp_c"),
        ("weather/rh_percent", -1, "weather.rh_percent"),
        ("zones", None, "zones"),
        ("zones", {"name": "x"}, "zones"),
        ("zones/0", "north", "zones[0]"),
        ("zones/0/name", "", "zones[0].name"),
        ("zones/0/name", None, "zones[0].name"),
        ("zones/1/name", "north reach", "zones[1].name"),
        ("zones/0/depth_cm", -1, "zones[0].depth_cm"),
        ("zones/0/depth_cm", None, "zones[0].depth_cm"),
        ("zones/0/depth_cm", "60", "zones[0].depth_cm"),
        ("zones/0/depth_cm", True, "zones[0].depth_cm"),
        ("zones/0/depth_cm", 10**400, "zones[0].depth_cm"),
        ("zones/0/depth_cm", float("inf"), "zones[0].depth_cm"),
        ("zones/0/current_m_s", -0.1, "zones[0].current_m_s"),
        ("zones/0/stems", 1.5, "zones[0].stems"),
        ("zones/0/units_max", None, "zones[0].units_max"),
        ("zones/0/units_max", 10**9, "zones[0].units_max"),
        ("volunteers", None, "volunteers"),
        ("volunteers", "ada", "volunteers"),
        ("volunteers/3", None, "volunteers[3]"),
        ("volunteers/3/id", 7, "volunteers[3].id"),
        ("volunteers/3/id", "", "volunteers[3].id"),
        ("volunteers/3/id", "ada", "volunteers[3].id"),
        ("volunteers/3/id", "x" * 201, "volunteers[3].id"),
        ("volunteers/3/adult", None, "volunteers[3].adult"),
        ("volunteers/3/adult", "yes", "volunteers[3].adult"),
        ("volunteers/3/adult", 1, "volunteers[3].adult"),
        ("volunteers/3/guardian", ["ada"], "volunteers[3].guardian"),
        ("volunteers/3/stature_cm", 17, "volunteers[3].stature_cm"),
        ("volunteers/3/mass_kg", 0, "volunteers[3].mass_kg"),
        ("volunteers/3/boot_eu", 42.3, "volunteers[3].boot_eu"),
        ("volunteers/3/boot_eu", 9, "volunteers[3].boot_eu"),
        ("volunteers/3/glove_mm", 9, "volunteers[3].glove_mm"),
        ("volunteers/3/water_ready", "true", "volunteers[3].water_ready"),
        ("volunteers/3/water_days", -1, "volunteers[3].water_days"),
        ("volunteers/3/water_days", 1.5, "volunteers[3].water_days"),
        ("volunteers/3/wishes", "ada", "volunteers[3].wishes"),
        ("volunteers/3/wishes", [7], "volunteers[3].wishes[0]"),
        ("volunteers/3/languages", [""], "volunteers[3].languages[0]"),
        ("volunteers/3/own", ["boots", "rocket"], "volunteers[3].own[1]"),
        ("stock", "none", "stock"),
        ("stock/0/item", "rocket", "stock[0].item"),
        ("stock/0/item", None, "stock[0].item"),
        ("stock/0/size", {}, "stock[0].size"),
        ("stock/0/count", -1, "stock[0].count"),
        ("stock/0/count", None, "stock[0].count"),
    ],
)
def test_a_faulty_field_is_named(path: str, value: Any, where: str):
    assert where in faults_of(changed(path, value))
    day_from_json(CALM)  # and nothing else is wrong with that day


@pytest.mark.parametrize("value", [None, 7, "day", [], [CALM], True])
def test_anything_but_an_object_is_no_day(value: Any):
    assert faults_of(value) == [""]


def test_a_child_is_cared_for_by_an_adult_only():
    day = changed("volunteers/3/adult", False)
    for guardian in ("dia", "eli"):
        day["volunteers"][3]["guardian"] = guardian
        day["volunteers"][4]["adult"] = False
        day["volunteers"][4]["guardian"] = "ada"
        assert faults_of(day) == ["volunteers[3].guardian"]


def test_every_faulty_field_is_in_the_one_error():
    day = changed("volunteers/3/boot_eu", 42.3)
    day["zones"][0]["depth_cm"] = -5
    day["day"]["timezone"] = "Mars/Olympus"
    with pytest.raises(UnusableInput) as refused:
        day_from_json(day)
    error = error_as_json(refused.value)["error"]
    assert error["code"] == "unusable_input"
    assert error["where"] == "day.timezone, zones[0].depth_cm, volunteers[3].boot_eu"
    assert "volunteers[3].boot_eu: must be a whole or a half size" in error["message"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "not json",
        '{"zones": NaN}',
        '{"zones": -Infinity}',
        '{"day": 1, "day": 2}',
        "[" * 100_000,
        '{"zones": ' + "9" * 5000 + "}",
    ],
)
def test_text_that_is_no_json_is_refused(text: str):
    with pytest.raises(UnusableInput) as refused:
        read_json(text)
    assert error_as_json(refused.value)["error"]["message"].startswith("must be one JSON object")


# --- A plan as JSON ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["calm_day", "mixed_day", "no_water_day"])
def test_a_plan_has_the_contracts_fields_and_each_person_once(name: str):
    given = json.loads((EXAMPLES / f"{name}.json").read_text())
    day, warnings = day_from_json(given)
    plan = json.loads(json.dumps(plan_as_json(plan_day(day), warnings)))
    parts = {"status", "objective", "bound", "units", "shore", "not_placed", "closed_zones", "gear", "warnings"}
    assert set(plan) == parts | {"changed", "changed_bound"}
    assert len(plan["objective"]) == len(plan["bound"]) == 5
    places = [member for unit in plan["units"] for member in unit["members"]]
    places += [place["id"] for place in (*plan["shore"], *plan["not_placed"])]
    assert sorted(places) == sorted(person["id"] for person in given["volunteers"])
    for unit in plan["units"]:
        assert set(unit) == {"zone", "members", "gear", "reasons"}
        assert set(unit["gear"]) == set(unit["members"])
        for allotments in unit["gear"].values():
            assert all(set(each) == {"item", "size", "from"} for each in allotments)
    for line in plan["gear"]:
        assert {"item", "size", "needed", "own", "in_stock", "short"} <= set(line)
    for place in (*plan["units"], *plan["shore"], *plan["not_placed"], *plan["closed_zones"]):
        assert all(set(each) == {"code", "text"} for each in place["reasons"])


def test_the_examples_plans_are_those_worked_by_hand():
    plans = {}
    for name in ("calm_day", "mixed_day", "no_water_day"):
        day, _ = day_from_json(json.loads((EXAMPLES / f"{name}.json").read_text()))
        plans[name] = plan_day(day)
    # Two pairs fill the one zone: the wished-for pair, so the two others repeat.
    assert plans["calm_day"].objective == (4, 2, 0, 1, 0)
    # Every adult who may enter water but one has a partner: Turkish and German speakers each among themselves, one
    # child beside the guardian, three who have no waders in the cove. The Portuguese speaker has nobody.
    assert plans["mixed_day"].objective[:2] == (9, 3)
    assert {unit.members for unit in plans["mixed_day"].units} == {
        ("amy", "ben"),
        ("cora", "dan"),
        ("gul", "hakan"),
        ("jon", "kim", "lou"),
    }
    assert [closed.zone for closed in plans["mixed_day"].closed_zones] == ["outlet"]
    assert [left.volunteer for left in plans["mixed_day"].not_placed] == ["finn"]
    assert plans["no_water_day"].status == "no_water_work"
    assert {closed.zone for closed in plans["no_water_day"].closed_zones} == {"mill race", "pool"}


def test_a_zone_whose_current_nobody_measured_is_closed():
    """Unknown data keeps people out of the water, never in."""
    day, _ = day_from_json(changed("zones/0/current_m_s", None))
    plan = plan_as_json(plan_day(day))
    assert plan["units"] == []
    assert [reason["code"] for reason in plan["closed_zones"][0]["reasons"]] == ["H7.unknown"]
