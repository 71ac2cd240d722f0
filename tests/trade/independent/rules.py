"""The hard rules about one unit in one zone, as the judge reads them from the design."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from tests.trade.independent.limits import (
    BOOTS,
    WADERS,
    Json,
    Limits,
    has_water,
    is_too_fast,
    is_water_work,
    jacket_class,
    wading_limit_cm,
)


@dataclass(frozen=True, slots=True)
class Breach:
    """One rule that a plan breaks: its code (H1 to H11, or S- and a word for a fault of structure) and a sentence."""

    code: str
    text: str

    def __str__(self) -> str:
        return f"{self.code}: {self.text}"


def is_experienced(person: Json, limits: Limits) -> bool:
    """H2: an adult with enough earlier water days, or an adult who is a trained lead."""
    days = person.get("water_days") or 0
    return person["adult"] is True and (days >= limits.water_days_min or person.get("lead") is True)


def asked_apart(one: Json, other: Json) -> bool:
    """H8: either of the two asked."""
    return other["id"] in (one.get("apart") or []) or one["id"] in (other.get("apart") or [])


def has_guardian_among(person: Json, others: Sequence[Json]) -> bool:
    """Whether the person's own guardian, an adult, is one of the others."""
    guardian = person.get("guardian")
    return any(other["id"] == guardian and other["adult"] is True for other in others)


def has_first_aider(day: Json) -> bool:
    """H10: a first-aider on the roster, in or out of the water; an adult, since minors have no such duty."""
    return any(person.get("first_aider") is True and person["adult"] is True for person in day["volunteers"])


def unit_breaches(zone: Json, members: Sequence[Json], limits: Limits) -> Iterator[Breach]:
    """Every rule that these people break as one unit in this zone, leaving aside what the rest of the plan uses up."""
    ids = [person["id"] for person in members]
    where = f"unit {', '.join(ids)} in zone {zone['name']}"
    if len(members) not in (2, 3):
        yield Breach("H1", f"{where} has {len(members)} members; a unit has two, once in a plan three.")
    if not any(is_experienced(person, limits) for person in members):
        yield Breach("H2", f"{where} has no adult with {limits.water_days_min} earlier water days and no trained lead.")
    for one, other in combinations(members, 2):
        if asked_apart(one, other):
            yield Breach("H8", f"{where}: {one['id']} and {other['id']} are to be kept apart.")
    shared = set.intersection(*(set(person.get("languages") or []) for person in members)) if members else set()
    if members and not shared:
        yield Breach("H11", f"{where} shares no spoken language.")
    if is_too_fast(zone, limits):
        yield Breach(
            "H7", f"{where}: depth {zone['depth_cm']} cm at {zone.get('current_m_s')} m/s is not safe to wade."
        )
    for person in members:
        yield from member_breaches(zone, person, members, limits)


def member_breaches(zone: Json, person: Json, members: Sequence[Json], limits: Limits) -> Iterator[Breach]:
    """The rules about one member: willing, old enough, tall enough, of known measures.

    An unknown measure keeps a person out of water work whatever they own: own gear saves a set, not the measure.
    """
    who, depth = f"{person['id']} in zone {zone['name']}", zone["depth_cm"]
    if person["adult"] is not True:
        if depth > limits.minor_depth_cm_max:
            yield Breach("H3", f"{who} is under 18 in {depth} cm of water.")
        elif has_water(zone) and not has_guardian_among(person, members):
            yield Breach("H3", f"{who} is under 18 and not in a unit with their guardian.")
    if person.get("water_ready") is not True:
        yield Breach("H4", f"{who} did not say that they can work in water.")
    if depth > wading_limit_cm(person, limits):
        yield Breach(
            "H6", f"{who}: {depth} cm is over the wading limit for a stature of {person.get('stature_cm')} cm."
        )
    if is_water_work(zone):
        if jacket_class(person) is None:
            yield Breach("H5", f"{who}: no class of life jacket for a body mass of {person.get('mass_kg')} kg.")
        if person.get("boot_eu") is None:
            yield Breach("H5", f"{who}: waders cannot be known to fit without a boot size.")
    elif has_water(zone) and not brings_footwear(person) and person.get("boot_eu") is None:
        yield Breach("H5", f"{who} brings nothing for their feet, and no boots are known to fit without a boot size.")


def brings_footwear(person: Json) -> bool:
    """Rule 5: whether a person has boots (or water shoes), or else waders, of their own: never bare feet."""
    return BOOTS in (person.get("own") or []) or WADERS in (person.get("own") or [])
