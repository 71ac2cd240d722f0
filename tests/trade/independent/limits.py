"""The judge's own numbers, written a second time on purpose.

Everywhere else in the project a rule or a number exists once. Here it is deliberately written twice: this package
judges the planner's plans from the plain JSON of the plan contract, and a wrong number in the product can only be found
by one that was taken from the source apart from it. So the modules that judge import nothing from ``reedcrew``.

Sources: the hard rules H1 to H11 of the design; body mass bounds of life jackets from 46 CFR 160.047-2 and 160.060-2
(adult over 90 lb = 40.8 kg, child medium 50 to 90 lb = 22.7 to 40.8 kg) and, from memory, the bound of 30 lb = 13.6 kg
of USCG labels; depth x velocity below 10 ft2/s = 0.929 m2/s (the waders' "rule of ten"; its attribution to agency
practice is from memory); waders fit from the boot size up to one EU size above (convention).
"""

from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

Json = dict[str, Any]

WATER_WORK_ABOVE_CM = 30  # deeper than this is water work: waders, jacket (design, rule 5; not a group's to change)
PRODUCT_LIMIT_M2_S = Decimal("0.929")  # reached means do not wade
JACKET_ADULT_ABOVE_KG = Decimal("40.8")
JACKET_YOUTH_FROM_KG = Decimal("22.7")
JACKET_CHILD_FROM_KG = Decimal("13.6")
WADERS_SIZES_ABOVE_BOOT = 1
WADERS = "chest waders"
BOOTS = "boots"
JACKET = "life jacket"
ROLES = frozenset({"spotter", "first-aider", "sign-in desk", "hauler", "spade crew"})
STATUSES = frozenset({"optimal", "feasible", "no_water_work"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What one group has decided; the defaults are the starred values of the design's table."""

    water_days_min: int = 1  # H2
    minor_depth_cm_max: int = 30  # H3
    wading_depth_cm_max: int = 100  # H6
    wading_stature_share: Decimal = Decimal("0.5")  # H6
    wading_safety_factor: Decimal = Decimal(2)  # H7
    units_per_spotter: int = 5  # H10
    seasoned_water_days: int = 3  # goal 3


def limits_of(day: Json) -> Limits:
    """The limits of this day: the defaults with the overrides of its ``policy``."""
    overrides = day.get("policy") or {}
    known: dict[str, Any] = {}
    for limit in fields(Limits):
        if limit.name in overrides:
            known[limit.name] = exact(overrides[limit.name]) if limit.type is Decimal else int(overrides[limit.name])
    return Limits(**known)


def exact(number: Any) -> Decimal:
    """The decimal number as it was written, so that no comparison at a bound depends on binary rounding."""
    return Decimal(str(number))


def has_water(zone: Json) -> bool:
    """Any depth over 0 cm."""
    return exact(zone["depth_cm"]) > 0


def is_water_work(zone: Json) -> bool:
    """Deeper than 30 cm."""
    return exact(zone["depth_cm"]) > WATER_WORK_ABOVE_CM


def is_too_fast(zone: Json, limits: Limits) -> bool:
    """H7: depth (m) x current (m/s) reaches the wading limit over the safety factor; an unknown current is fast."""
    if not has_water(zone):
        return False
    current = zone.get("current_m_s")
    if current is None:
        return True
    product = exact(zone["depth_cm"]) / 100 * exact(current)
    return product * limits.wading_safety_factor >= PRODUCT_LIMIT_M2_S


def wading_limit_cm(person: Json, limits: Limits) -> Decimal:
    """H6: the deepest water for this person; 0 where the stature is not known."""
    if person.get("stature_cm") is None:
        return Decimal(0)
    return min(Decimal(limits.wading_depth_cm_max), limits.wading_stature_share * exact(person["stature_cm"]))


def jacket_class(person: Json) -> str | None:
    """H5: the class of life jacket for this body mass; None under 13.6 kg or where the mass is not known."""
    if person.get("mass_kg") is None:
        return None
    mass = exact(person["mass_kg"])
    if mass > JACKET_ADULT_ABOVE_KG:
        return "adult"
    if mass >= JACKET_YOUTH_FROM_KG:
        return "youth"
    return "child" if mass >= JACKET_CHILD_FROM_KG else None


def waders_fit(person: Json, label: str) -> bool:
    """H5: an integer EU label from the boot size up to one size above; an unknown boot size fits nothing."""
    if person.get("boot_eu") is None or not label.isdecimal():
        return False
    boot = exact(person["boot_eu"])
    return boot <= int(label) <= boot + WADERS_SIZES_ABOVE_BOOT


def spotters_needed(units: int, limits: Limits) -> int:
    """H10: one for each started group of units of a zone."""
    return -(-units // limits.units_per_spotter)


def sets_in_stock(day: Json) -> dict[tuple[str, str], int]:
    """Sets of each item and size; lines that name the same item and size add up."""
    sets: dict[tuple[str, str], int] = {}
    for line in day.get("stock") or []:
        key = (line["item"], str(line.get("size") or ""))
        sets[key] = sets.get(key, 0) + int(line["count"])
    return sets
