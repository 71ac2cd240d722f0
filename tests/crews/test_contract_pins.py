"""Pins and what people were told, in JSON: faults by their place, refusals by their rule."""

import json
from pathlib import Path
from typing import Any

import pytest

from reedcrew.crews.contract import day_from_json, plan_as_json, refusal_as_json
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.pins import PinsRefused
from tests.crews.test_plan_day_command import run

EXAMPLES = Path(__file__).parent / "examples"


def mixed_day(**changes: Any) -> dict[str, Any]:
    day: dict[str, Any] = json.loads((EXAMPLES / "mixed_day.json").read_text())
    return day | changes


@pytest.mark.parametrize(
    ("pins", "where"),
    [
        ("a-b", "pins"),
        ([{"kind": "friends", "person": "amy"}], "pins[0].kind"),
        ([{"kind": "not water"}], "pins[0].person"),
        ([{"kind": "not water", "person": "amy"}, {"kind": "zone", "person": "zoe", "zone": "cove"}], "pins[1].person"),
        ([{"kind": "zone", "person": "amy", "zone": "sea"}], "pins[0].zone"),
        ([{"kind": "pair", "person": "amy"}], "pins[0].other"),
        ([{"kind": "role", "person": "amy", "role": "cook"}], "pins[0].role"),
        ([{"kind": "role", "person": "amy", "role": "spotter"}], "pins[0].zone"),
    ],
)
def test_a_faulty_pin_is_named_by_its_place(pins: Any, where: str):
    with pytest.raises(UnusableInput) as refused:
        day_from_json(mixed_day(pins=pins))
    assert [fault.where for fault in refused.value.faults] == [where]


def test_a_refused_pin_is_an_error_with_its_rule_and_place():
    pins = [
        {"kind": "pair", "person": "amy", "other": "ben"},
        {"kind": "zone", "person": "amy", "zone": "outlet"},
    ]
    day, _ = day_from_json(mixed_day(pins=pins))
    with pytest.raises(PinsRefused) as refused:
        plan_day(day)
    error = refusal_as_json(refused.value)["error"]
    assert (error["code"], error["where"]) == ("H7", "pins[1]")
    assert error["message"].startswith("pins[1]: Depth × current")


def test_the_command_exits_with_1_and_the_rule():
    pins = [{"kind": "zone", "person": "amy", "zone": "outlet"}]
    status, answer = run("-", stdin=json.dumps(mixed_day(pins=pins)).encode())
    assert status == 1
    assert answer["error"]["code"] == "H7"


def test_a_printed_plan_can_be_told_and_changes_nobody():
    plan = plan_as_json(plan_day(day_from_json(mixed_day())[0]))
    day, warnings = day_from_json(json.loads(json.dumps(mixed_day(told=plan))))
    assert warnings == ()
    again = plan_as_json(plan_day(day))
    assert (again["changed"], again["changed_bound"]) == ([], 0)
    assert [unit["members"] for unit in again["units"]] == [unit["members"] for unit in plan["units"]]


def test_a_person_told_two_things_is_a_fault():
    plan = plan_as_json(plan_day(day_from_json(mixed_day())[0]))
    plan["units"].append(plan["units"][0])
    with pytest.raises(UnusableInput):
        day_from_json(mixed_day(told=plan))
