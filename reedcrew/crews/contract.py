"""The plan contract: one day as JSON to the types of the trade, and a plan back to JSON (design, "Plan contract").

Input that cannot be planned raises one UnusableInput that names every faulty field by its place, such as
``volunteers[3].boot_eu``. Measures that are null or absent are unknown, which keeps a person out of water and is no
fault. So is a guardian, wish or partner who is not on the roster. Fields that the contract does not know are left
aside, with a warning.

``own`` is what a person brings. In shallow water, up to 30 cm, "boots" or "chest waders" must stand there, or a pair of
boots in stock must fit: nobody is barefoot (design, rule 5).

Beside the fields of the design, a day may have

- ``"pins"``: what an organizer fixes, a list of objects with a ``"kind"`` and the fields that it needs:
  ``{"kind": "pair", "person": id, "other": id}`` (in one unit), ``{"kind": "zone", "person": id, "zone": name}`` (in
  water there), ``{"kind": "role", "person": id, "role": role, "zone": name}`` (the zone is needed for "spotter",
  optional for "spade crew", absent else), and against: ``"not pair"``, ``"not zone"``, ``"not water"``, ``"not role"``
  with the same fields. Pins that cannot be kept are an error: its code is the rule, H1 to H11, or "pins", and its
  ``where`` names them, ``pins[0], pins[2]``;
- ``"told"``: what people know of an earlier plan, to be changed as little as can be:
  ``{"units": [{"zone", "members": [id, …]}], "shore": [{"id", "role", "zone": name or null}]}``, as a plan has them.

A plan tells who must be told something new in ``"changed"``, and the proven least number in ``"changed_bound"``.
Whoever is on shore or not placed, and each closed zone, has ``"remedies"``: single changes that would let them in.
"""

import datetime
import json
import math
import re
import zoneinfo
from dataclasses import fields, replace
from decimal import Decimal
from typing import Any

from reedcrew.crews.contract_pins import pins_from_json, told_from_json
from reedcrew.crews.json_fields import Json, JsonFields, Reader
from reedcrew.trade import policy_ranges, sizes, water, weather
from reedcrew.trade.day import Day, StockLine, Volunteer, Weather, Zone
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.errors import Fault, UnusableInput
from reedcrew.trade.items import Item
from reedcrew.trade.month_day import MonthDay
from reedcrew.trade.pairing.pin_shapes import check_pins, check_told
from reedcrew.trade.pins import PinsRefused
from reedcrew.trade.plan import Allotment, GearLine, Plan, Remedy, Unit
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.stock_sizes import COUNT_MAX

# What an entry can mean; more is a slip of the pen (convention).
PEOPLE_MAX = 1000
ZONES_MAX = 50
UNITS_MAX = 500
WATER_DAYS_MAX = 10_000
STOCK_LINES_MAX = 1000
ITEMS = frozenset(item.value for item in Item)
NO_TIME = datetime.datetime.min.replace(tzinfo=datetime.UTC)  # stands in for what is faulty


def read_json(text: str) -> Json:
    """The JSON value of a text.

    Raises UnusableInput, at the place "", for a text that is no JSON: also for NaN and infinities, a name given twice
    in one object, and nesting or numbers beyond reason.
    """
    try:
        value: Json = json.loads(text, object_pairs_hook=_object_of, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise UnusableInput([Fault(where="", message=f"must be one JSON object: {error}")]) from error
    return value


def day_from_json(value: Json) -> tuple[Day, tuple[Reason, ...]]:
    """A day as the planner takes it, and warnings about what was left aside.

    Lengths are in cm, mass in kg, temperatures in °C, currents in m/s. Parts of a centimetre round to the side of
    safety: depth up, stature down. Raises UnusableInput with a fault for each faulty field.
    """
    reader = Reader()
    whole = reader.object_at(value, "")
    start, end = _hours(whole.object_at("day"))
    found = Day(
        start=start,
        end=end,
        zones=tuple(_zone(zone) for zone in whole.objects("zones", most=ZONES_MAX, required=True)),
        volunteers=tuple(_volunteer(person) for person in whole.objects("volunteers", most=PEOPLE_MAX, required=True)),
        stock=tuple(_stock_line(line) for line in whole.objects("stock", most=STOCK_LINES_MAX)),
        weather=_weather(whole),
        policy=_policy(whole),
        told=told_from_json(whole, PEOPLE_MAX),
    )
    pins = pins_from_json(whole)
    whole.close()
    _check_names(reader, found)
    if pins is not None:
        found = replace(found, pins=pins)
        check_pins(reader, found)
    check_told(reader, found)
    reader.raise_any()
    return found, tuple(reason("input.unknown_field", where=where) for where in reader.unknown_fields())


def plan_as_json(plan: Plan, warnings: tuple[Reason, ...] = ()) -> dict[str, Any]:
    """A plan in the form of the contract, with further warnings after its own."""
    return {
        "status": plan.status.value,
        "objective": list(plan.objective),
        "bound": list(plan.bound),
        "units": [_unit_as_json(unit) for unit in plan.units],
        "shore": [
            {
                "id": duty.volunteer,
                "role": duty.role.value,
                "zone": duty.zone,
                "gear": [allotment_as_json(each) for each in duty.gear],
                "reasons": [reason_as_json(each) for each in duty.reasons],
                "remedies": [remedy_as_json(each) for each in duty.remedies],
            }
            for duty in plan.shore
        ],
        "not_placed": [
            {
                "id": left.volunteer,
                "reasons": [reason_as_json(each) for each in left.reasons],
                "remedies": [remedy_as_json(each) for each in left.remedies],
            }
            for left in plan.not_placed
        ],
        "closed_zones": [
            {
                "zone": closed.zone,
                "reasons": [reason_as_json(each) for each in closed.reasons],
                "remedies": [remedy_as_json(each) for each in closed.remedies],
            }
            for closed in plan.closed_zones
        ],
        "gear": [_gear_line_as_json(line) for line in plan.gear],
        "warnings": [reason_as_json(each) for each in (*plan.warnings, *warnings)],
        "changed": list(plan.changed),
        "changed_bound": plan.changed_bound,
    }


def reason_as_json(one: Reason) -> dict[str, str]:
    """A reason's code and its sentence in English."""
    return {"code": one.code, "text": one.text}


def remedy_as_json(one: Remedy) -> dict[str, str]:
    """A change that would help: its code and its sentence in English."""
    return {"code": one.code, "text": one.text}


def allotment_as_json(one: Allotment) -> dict[str, str]:
    """One piece of gear of one person: item, size ("" where there is none or it is unknown) and whose it is."""
    return {"item": one.item.value, "size": one.size, "from": one.source.value}


def error_as_json(error: UnusableInput) -> dict[str, Any]:
    """The error object of the contract: every faulty place in ``where``, what would be right in ``message``."""
    return {
        "error": {
            "code": error.code,
            "message": "; ".join(
                f"{fault.where}: {fault.message}" if fault.where else fault.message for fault in error.faults
            ),
            "where": ", ".join(dict.fromkeys(fault.where for fault in error.faults)),
        }
    }


def refusal_as_json(error: PinsRefused) -> dict[str, Any]:
    """The error object for pins that cannot be kept: the first refusal's rule, each sentence, each pin's place."""
    wheres = [", ".join(f"pins[{place}]" for place in refusal.places) for refusal in error.refusals]
    return {
        "error": {
            "code": error.refusals[0].code,
            "message": "; ".join(
                f"{where}: {refusal.reason.text}" for where, refusal in zip(wheres, error.refusals, strict=True)
            ),
            "where": ", ".join(wheres),
        }
    }


# --- Private: reading ------------------------------------------------------------------------------------------------


def _object_of(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    found = dict(pairs)
    if len(found) != len(pairs):
        twice = next(name for place, (name, _) in enumerate(pairs) if name in dict(pairs[:place]))
        raise ValueError(f"{json.dumps(twice)} stands twice in one object")
    return found


def _no_constant(name: str) -> Json:
    raise ValueError(f"{name} is no JSON number")


def _hours(day: JsonFields) -> tuple[datetime.datetime, datetime.datetime]:
    """Start and end in the site's zone of time."""
    date = day.parsed("date", datetime.date.fromisoformat, "must be a date like 2025-08-02")
    start = day.parsed("start", datetime.time.fromisoformat, "must be a time like 09:00")
    end = day.parsed("end", datetime.time.fromisoformat, "must be a time like 12:30")
    zone = day.parsed("timezone", _time_zone, "must be the name of a time zone like Europe/Berlin or UTC")
    for name, time in (("start", start), ("end", end)):
        day.unless(time is None or time.tzinfo is None, name, "must have no offset: the time zone tells it")
    day.close()
    if date is None or start is None or end is None or zone is None:
        return NO_TIME, NO_TIME
    starts, ends = (
        datetime.datetime.combine(date, time.replace(tzinfo=None)).replace(tzinfo=zone) for time in (start, end)
    )
    try:
        length = ends.astimezone(datetime.UTC) - starts.astimezone(datetime.UTC)
    except OverflowError:
        day.unless(False, "date", "is at the end of the calendar")
        return NO_TIME, NO_TIME
    day.unless(datetime.timedelta(0) < length, "end", "must be later than start")
    return starts, ends


def _time_zone(name: str) -> zoneinfo.ZoneInfo:
    try:
        return zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, OSError) as error:
        raise ValueError(name) from error


def _zone(zone: JsonFields) -> Zone:
    depth_cm = zone.number("depth_cm", 0, water.DEPTH_CM_MAX, required=True)
    found = Zone(
        name=zone.text("name"),
        depth_cm=math.ceil(depth_cm or 0),
        current_m_s=zone.number("current_m_s", 0, water.CURRENT_M_S_MAX),
        stems=zone.whole("stems", 0, STEMS_MAX) or 0,
        units_max=zone.whole("units_max", 0, UNITS_MAX, required=True) or 0,
    )
    zone.close()
    return found


def _volunteer(person: JsonFields) -> Volunteer:
    stature_cm = person.number("stature_cm", water.STATURE_CM_MIN, water.STATURE_CM_MAX)
    mass_kg = person.number("mass_kg", sizes.MASS_KG_MIN, sizes.MASS_KG_MAX)
    boot_eu = person.number("boot_eu", sizes.BOOT_EU_MIN, sizes.BOOT_EU_MAX)
    glove_mm = person.number("glove_mm", sizes.HAND_MM_MIN, sizes.HAND_MM_MAX)
    person.unless(boot_eu is None or boot_eu * 2 % 1 == 0, "boot_eu", "must be a whole or a half size")
    own = person.texts("own")
    for place, name in enumerate(own):
        person.unless(name in ITEMS, f"own[{place}]", f"must be one of: {', '.join(sorted(ITEMS))}")
    found = Volunteer(
        id=person.text("id"),
        adult=person.flag("adult", required=True),
        guardian=person.text("guardian", required=False) or None,
        stature_cm=None if stature_cm is None else math.floor(stature_cm),
        jacket_class=None if mass_kg is None else sizes.jacket_class(mass_kg),
        boot_eu=None if boot_eu is None else Decimal(str(boot_eu)),
        hand_mm=None if glove_mm is None else round(glove_mm),
        water_ready=person.flag("water_ready"),
        water_days=person.whole("water_days", 0, WATER_DAYS_MAX) or 0,
        lead=person.flag("lead"),
        first_aider=person.flag("first_aider"),
        wishes=frozenset(person.texts("wishes")),
        apart=frozenset(person.texts("apart")),
        languages=frozenset(language.casefold() for language in person.texts("languages")),
        own=frozenset(Item(name) for name in own if name in ITEMS),
        recent=frozenset(person.texts("recent")),
    )
    person.close()
    return found


def _stock_line(line: JsonFields) -> StockLine:
    name = line.text("item")
    line.unless(name in ITEMS, "item", f"must be one of: {', '.join(sorted(ITEMS))}")
    found = StockLine(
        item=Item(name) if name in ITEMS else Item.CHEST_WADERS,
        size=line.size("size"),
        count=line.whole("count", 0, COUNT_MAX, required=True) or 0,
    )
    line.close()
    return found


def _weather(whole: JsonFields) -> Weather | None:
    if whole.is_absent("weather"):
        return None
    forecast = whole.object_at("weather")
    # A forecast may tell more than a plan asks for: what else it has is no mistake, so it is not closed.
    return Weather(
        temp_c=forecast.number("temp_c", weather.TEMP_C_MIN, weather.TEMP_C_MAX),
        rh_percent=forecast.number("rh_percent", 0, 100),
        wind_km_h=forecast.number("wind_km_h", 0, weather.WIND_KM_H_MAX),
        water_temp_c=forecast.number("water_temp_c", weather.WATER_TEMP_C_MIN, weather.WATER_TEMP_C_MAX),
    )


def _policy(whole: JsonFields) -> Policy:
    """The default policy with the overrides given. Days of the year are written month-day, like 07-15."""
    if whole.is_absent("policy"):
        return DEFAULT_POLICY
    overrides = whole.object_at("policy")
    policy = DEFAULT_POLICY
    for name in overrides.names():
        if name not in {field.name for field in fields(Policy)}:
            overrides.unless(False, name, "is no rule that a group can set")
            continue
        value: Any
        if isinstance(getattr(DEFAULT_POLICY, name), MonthDay):
            value = overrides.parsed(name, _month_day, "must be a day of the year like 07-15")
        elif isinstance(getattr(DEFAULT_POLICY, name), int):
            value = overrides.whole(name, policy_ranges.RANGES[name].low, policy_ranges.RANGES[name].high)
        else:
            value = overrides.number(name, policy_ranges.RANGES[name].low, policy_ranges.RANGES[name].high)
        if value is not None:
            policy = replace(policy, **{name: value})
    try:
        policy_ranges.check(policy)
    except UnusableInput as error:
        for fault in error.faults:
            overrides.unless(False, fault.where, fault.message)
        return DEFAULT_POLICY
    return policy


def _month_day(text: str) -> MonthDay:
    if not re.fullmatch("[0-9]{2}-[0-9]{2}", text):
        raise ValueError(text)
    return MonthDay(int(text[:2]), int(text[3:]))  # whether there is such a day is judged with the policy


def _check_names(reader: Reader, day: Day) -> None:
    """Ids and zone names stand once, and nobody is cared for by themself or by somebody under 18."""
    ids = [person.id for person in day.volunteers]
    adults = {person.id: person.adult for person in day.volunteers}
    for place, person in enumerate(day.volunteers):
        where = f"volunteers[{place}]"
        reader.unless(person.id == "" or person.id not in ids[:place], f"{where}.id", "is another person's id as well")
        reader.unless(
            person.adult or adults.get(person.guardian or "", True),
            f"{where}.guardian",
            "must be an adult, not this id",
        )
    names = [zone.name for zone in day.zones]
    for place, name in enumerate(names):
        reader.unless(name == "" or name not in names[:place], f"zones[{place}].name", "is another zone's name as well")


# --- Private: writing ------------------------------------------------------------------------------------------------


def _unit_as_json(unit: Unit) -> dict[str, Any]:
    return {
        "zone": unit.zone,
        "members": list(unit.members),
        "gear": {member: [allotment_as_json(each) for each in allotments] for member, allotments in unit.gear},
        "reasons": [reason_as_json(each) for each in unit.reasons],
    }


def _gear_line_as_json(line: GearLine) -> dict[str, Any]:
    counts = {"needed": line.needed, "own": line.own, "in_stock": line.in_stock, "short": line.short}
    return {
        "item": line.item.value,
        "size": line.size,
        **{name: int(count) if count == int(count) else count for name, count in counts.items()},
        "unit": line.unit,
        "who": list(line.who),
        "without": list(line.without),
        "reasons": [reason_as_json(each) for each in line.reasons],
    }
