"""A computed plan as JSON columns, and back to reasons with names. Keys stand for people and zones in the rows."""

from collections.abc import Iterable, Mapping
from typing import Any

from reedcrew.crews.contract import allotment_as_json
from reedcrew.trade.day import Day
from reedcrew.trade.plan import Allotment, GearLine, Plan
from reedcrew.trade.reasons import Reason

Record = dict[str, Any]

# Values of a reason that name a person or a zone by the key of its row.
PEOPLE_VALUES = ("who", "other")
ZONE_VALUES = ("zone",)


def reason_record(reason: Reason) -> Record:
    return {"code": reason.code, "values": dict(reason.values)}


def reason_records(reasons: Iterable[Reason]) -> list[Record]:
    return [reason_record(reason) for reason in reasons]


def reasons_in_words(
    records: Iterable[Record], people: Mapping[str, str], zones: Mapping[str, str]
) -> tuple[Reason, ...]:
    """Stored reasons with names in place of keys; a key without a name, as of somebody who left, stays."""
    return tuple(_in_words(record, people, zones) for record in records)


def _in_words(record: Record, people: Mapping[str, str], zones: Mapping[str, str]) -> Reason:
    values = dict(record["values"])
    for names, kinds in ((people, PEOPLE_VALUES), (zones, ZONE_VALUES)):
        for kind in kinds:
            if kind in values:
                values[kind] = names.get(str(values[kind]), values[kind])
    return Reason(code=record["code"], values=values)


def allotment_records(allotments: Iterable[Allotment]) -> list[dict[str, str]]:
    return [allotment_as_json(each) for each in allotments]


def gear_record(line: GearLine) -> Record:
    return {
        "item": line.item.value,
        "size": line.size,
        "unit": line.unit,
        "needed": line.needed,
        "own": line.own,
        "in_stock": line.in_stock,
        "short": line.short,
        "who": list(line.who),
        "without": list(line.without),
        "reasons": reason_records(line.reasons),
    }


def plan_record(plan: Plan, day: Day) -> Record:
    """What a plan says beside its people, who are rows: depths, goals, closed zones, gear list, warnings."""
    return {
        "depths_cm": {zone.name: zone.depth_cm for zone in day.zones},
        "objective": list(plan.objective),
        "bound": list(plan.bound),
        "closed_zones": [
            {"zone": closed.zone, "reasons": reason_records(closed.reasons)} for closed in plan.closed_zones
        ],
        "gear": [gear_record(line) for line in plan.gear],
        "warnings": reason_records(plan.warnings),
    }
