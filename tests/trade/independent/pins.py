"""Whether a plan keeps an organizer's pins, and whose assignment is not what they were told: read from plain JSON."""

from collections.abc import Iterator, Sequence

from tests.trade.independent.limits import Json
from tests.trade.independent.rules import Breach
from tests.trade.independent.values import UnitOf


def pin_breaches(day: Json, plan: Json) -> Iterator[Breach]:
    """A breach with the code S-PIN for each pin of the day that the plan does not keep."""
    units = {member: unit for unit in plan["units"] for member in unit["members"]}
    shore = {line["id"]: line for line in plan["shore"]}
    for number, pin in enumerate(day.get("pins") or []):
        if not _is_kept(pin, units.get(pin["person"]), shore.get(pin["person"])):
            yield Breach("S-PIN", f"pins[{number}] is not kept: {pin}.")


def units_keep_pins(day: Json, units: Sequence[UnitOf]) -> bool:
    """Whether these units keep every pin that is about being in water or out of it."""
    placed: dict[str, Json] = {}
    for unit in units:
        members = [member["id"] for member in unit.members]
        placed.update({member: {"zone": unit.zone, "members": members} for member in members})
    for pin in day.get("pins") or []:
        place = placed.get(pin["person"])
        if pin["kind"] == "role":
            if place is not None:
                return False
        elif pin["kind"] == "not zone":
            if place is not None and place["zone"] == pin["zone"]:
                return False
        elif pin["kind"] != "not role" and not _is_kept(pin, place, None):
            return False
    return True


def _is_kept(pin: Json, unit: Json | None, duty: Json | None) -> bool:
    kind = pin["kind"]
    if kind == "pair":
        return unit is not None and pin["other"] in unit["members"]
    if kind == "not pair":
        return unit is None or pin["other"] not in unit["members"]
    if kind == "zone":
        return unit is not None and unit["zone"] == pin["zone"]
    if kind == "not zone":
        return pin["zone"] not in {place["zone"] for place in (unit, duty) if place is not None}
    if kind == "not water":
        return unit is None
    if kind == "role":
        return duty is not None and duty["role"] == pin["role"] and pin.get("zone") in (None, duty["zone"])
    assert kind == "not role"
    return duty is None or duty["role"] != pin["role"]


def changed(day: Json, plan: Json) -> set[str]:
    """Who of the roster was told something that is not so in this plan.

    A unit is as it was told if it is in the same zone and holds exactly those of its told members who are on the roster
    today. A role is as it was told at the same zone.
    """
    told = day.get("told") or {"units": [], "shore": []}
    here = {person["id"] for person in day["volunteers"]}
    units = {(unit["zone"], frozenset(unit["members"])) for unit in plan["units"]}
    shore = {(line["id"], line["role"], line["zone"]) for line in plan["shore"]}
    found = set()
    for unit in told["units"]:
        members = here & set(unit["members"])
        if (unit["zone"], frozenset(members)) not in units:
            found |= members
    for line in told["shore"]:
        if line["id"] in here and (line["id"], line["role"], line["zone"]) not in shore:
            found.add(line["id"])
    return found
