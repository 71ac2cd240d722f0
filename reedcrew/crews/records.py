"""A computed plan as JSON columns, and back to reasons with names. Keys stand for people and zones in the rows."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from reedcrew.crews.contract import allotment_as_json
from reedcrew.crews.models import Plan as StoredPlan
from reedcrew.people.languages import LANGUAGE_CODES, language_name
from reedcrew.trade.day import Day
from reedcrew.trade.pins import PinRefusal
from reedcrew.trade.plan import Allotment, GearLine, Plan, Remedy
from reedcrew.trade.reasons import Reason, as_record, from_record
from reedcrew.web import sentences

Record = dict[str, Any]

# Values of a reason that name a person or a zone by the key of its row.
PEOPLE_VALUES = ("who", "other", "third", "ward", "person")
ZONE_VALUES = ("zone",)


def reason_records(reasons: Iterable[Reason]) -> list[Record]:
    return [as_record(reason) for reason in reasons]


def remedy_records(remedies: Iterable[Remedy]) -> list[Record]:
    """The sentences of the remedies; the changes behind them are worked out anew where they are needed."""
    return reason_records(remedy.reason for remedy in remedies)


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What people and zones are called, by the keys of their rows as text."""

    people: Mapping[str, str]
    zones: Mapping[str, str]


def names_of(plan: StoredPlan) -> Names:
    """The names that the reasons of a plan may need; two queries."""
    people = plan.assignments.values_list("sign_up__member", "sign_up__member__name")
    zones = plan.day.stand.zones.values_list("pk", "name")
    return Names(people={str(pk): name for pk, name in people}, zones={str(pk): name for pk, name in zones})


def in_words(reason: Reason, names: Names) -> Reason:
    """A reason with names in place of keys and codes; a key without a name, as of somebody who left, stays."""
    values = dict(reason.values)
    for known, kinds in ((names.people, PEOPLE_VALUES), (names.zones, ZONE_VALUES)):
        for kind in kinds:
            if kind in values:
                values[kind] = known.get(str(values[kind]), values[kind])
    if "language" in values:  # H11: the codes of all languages that they share
        codes = str(values["language"]).split(", ")
        values["language"] = ", ".join(language_name(code) if code in LANGUAGE_CODES else code for code in codes)
    return Reason(code=reason.code, values=values)


def said(reason: Reason, names: Names) -> str:
    """A reason's sentence in the reader's language, with names."""
    return sentences.said(in_words(reason, names))


def reasons_in_words(records: Iterable[Record], names: Names) -> tuple[Reason, ...]:
    """Stored reasons with names in place of keys."""
    return tuple(in_words(from_record(record), names) for record in records)


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


def pin_record(refusal: PinRefusal) -> Record:
    """A pin, or several that cannot be kept together, left aside by a plan: whom they are about, and why."""
    return {
        "code": refusal.code,
        "people": [name for pin in refusal.pins for name in (pin.person, pin.other) if name],
        "reason": as_record(refusal.reason),
    }


def plan_record(plan: Plan, day: Day, aside: Iterable[PinRefusal] = ()) -> Record:
    """What a plan says beside its people, who are rows: depths, goals, closed zones, gear list, warnings.

    ``aside`` are the pins that a hard rule overruled.
    """
    return {
        "depths_cm": {zone.name: zone.depth_cm for zone in day.zones},
        "objective": list(plan.objective),
        "bound": list(plan.bound),
        "closed_zones": [
            {
                "zone": closed.zone,
                "reasons": reason_records(closed.reasons),
                "remedies": remedy_records(closed.remedies),
            }
            for closed in plan.closed_zones
        ],
        "gear": [gear_record(line) for line in plan.gear],
        "warnings": reason_records(plan.warnings),
        "pins_aside": [pin_record(refusal) for refusal in aside],
    }
