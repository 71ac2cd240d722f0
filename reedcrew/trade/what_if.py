"""A day with something otherwise, and what differs between two plans of it, in words. Nothing is written anywhere."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from statistics import median_low
from typing import assert_never

from reedcrew.trade.changes import (
    AnswerChange,
    Change,
    CurrentChange,
    GuardianChange,
    PeopleChange,
    RoomChange,
    StockChange,
    WaterChange,
)
from reedcrew.trade.day import Day, StockLine, Volunteer, Zone
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.plan import GearLine, Plan
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.water import DEPTH_CM_MAX

NEWCOMER = "newcomer"  # ids of people who are only supposed begin so
# Where nobody on the roster tells what is typical (convention: the middle of common adult sizes).
STATURE_CM, BOOT_EU = 170, Decimal(42)
GOALS = ("people_in_water", "wishes", "unseasoned", "repeats", "mismatch")  # ends of the codes, in the goals' order

Place = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One person who would be elsewhere. ``reason`` tells where, or that they are in one plan only."""

    person: str
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class GoalChange:
    """One goal's value in both plans. ``place`` is its place in ``Plan.objective``."""

    place: int
    before: int
    after: int
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortChange:
    """One line of the gear list whose shortage differs; 0 where there is none, or no such line."""

    item: Item
    size: str
    before: float
    after: float
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneTurn:
    """A zone that is closed in one of the plans only."""

    zone: str
    closed: bool
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """What differs between two plans, each part in a fixed order; all parts are empty for plans that say the same."""

    moves: tuple[Move, ...]
    goals: tuple[GoalChange, ...]
    gear: tuple[ShortChange, ...]
    zones: tuple[ZoneTurn, ...]

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Everything in words: goals first, then zones, people and gear."""
        parts: Iterable[Sequence[GoalChange | ZoneTurn | Move | ShortChange]] = (
            self.goals,
            self.zones,
            self.moves,
            self.gear,
        )
        return tuple(one.reason for part in parts for one in part)


def altered(day: Day, *changes: Change) -> Day:
    """The day with these changes, one after another. What names a zone or person who is not there does nothing.

    People who are only supposed have ids like ``newcomer-1``.
    """
    for change in changes:
        day = _altered(day, change)
    return day


def compare(before: Plan, after: Plan) -> Difference:
    """What a person would have to be told if one plan took the place of the other."""
    return Difference(
        moves=tuple(_moves(before, after)),
        goals=tuple(
            GoalChange(
                place=place, before=old, after=new, reason=reason(f"what_if.{GOALS[place]}", before=old, after=new)
            )
            for place, (old, new) in enumerate(zip(before.objective, after.objective, strict=True))
            if old != new
        ),
        gear=tuple(_shortages(before, after)),
        zones=tuple(_zone_turns(before, after)),
    )


# --- Private: altering -----------------------------------------------------------------------------------------------


def _altered(day: Day, change: Change) -> Day:
    match change:
        case StockChange():
            return replace(day, stock=_stock(day.stock, change))
        case WaterChange():
            return replace(
                day,
                zones=tuple(
                    replace(zone, depth_cm=min(DEPTH_CM_MAX, max(0, zone.depth_cm + change.by_cm)))
                    if _rises(zone, change)
                    else zone
                    for zone in day.zones
                ),
            )
        case RoomChange():
            return _with_zone(
                day, change.zone, lambda zone: replace(zone, units_max=max(0, zone.units_max + change.units))
            )
        case CurrentChange():
            return _with_zone(day, change.zone, lambda zone: replace(zone, current_m_s=change.current_m_s))
        case PeopleChange():
            return replace(day, volunteers=(*day.volunteers, *_newcomers(day, change)))
        case GuardianChange():
            return replace(day, volunteers=_with_guardian(day, change.ward))
        case AnswerChange():
            return replace(
                day,
                volunteers=tuple(_answering(day, one) if one.id == change.person else one for one in day.volunteers),
            )
        case _:
            assert_never(change)


def _rises(zone: Zone, change: WaterChange) -> bool:
    return zone.depth_cm > 0 if change.zone is None else zone.name == change.zone


def _with_zone(day: Day, name: str, turn: Callable[[Zone], Zone]) -> Day:
    return replace(day, zones=tuple(turn(zone) if zone.name == name else zone for zone in day.zones))


def _stock(stock: tuple[StockLine, ...], change: StockChange) -> tuple[StockLine, ...]:
    """More sets are a line more; fewer are taken off the lines of that item and size, one after another."""
    if change.count >= 0:
        return (*stock, StockLine(item=change.item, size=change.size, count=change.count))
    gone = -change.count
    found = []
    for line in stock:
        taken = min(gone, line.count) if (line.item, line.size) == (change.item, change.size) else 0
        gone -= taken
        found.append(replace(line, count=line.count - taken))
    return tuple(found)


def _newcomers(day: Day, change: PeopleChange) -> Iterator[Volunteer]:
    taken = {person.id for person in day.volunteers}
    number = 0
    for _ in range(change.count):
        number += 1
        while f"{NEWCOMER}-{number}" in taken:
            number += 1
        yield Volunteer(
            id=f"{NEWCOMER}-{number}",
            adult=True,
            stature_cm=_typical_stature_cm(day),
            jacket_class=JacketClass.ADULT,
            boot_eu=_typical_boot_eu(day),
            water_ready=change.water_ready,
            water_days=day.policy.water_days_min if change.experienced else 0,
            first_aider=change.first_aider,
            languages=change.languages or _common_languages(day),
            own=frozenset({Item.BOOTS}),
        )


def _with_guardian(day: Day, ward: str) -> tuple[Volunteer, ...]:
    """The ward's guardian ready for water: the one on the roster, or one who comes as well."""
    child = next((one for one in day.volunteers if one.id == ward), None)
    if child is None:
        return day.volunteers
    here = next((one for one in day.volunteers if one.id == child.guardian and one.adult), None)
    if here is not None:
        ready = replace(_answering(day, here), water_ready=True, own=here.own | {Item.BOOTS})
        return tuple(ready if one is here else one for one in day.volunteers)
    change = PeopleChange(experienced=True, languages=child.languages)
    (newcomer,) = _newcomers(day, change)
    # A guardian on record who is not here keeps their id; else the newcomer becomes the guardian.
    known = child.guardian is not None and all(one.id != child.guardian for one in day.volunteers)
    guardian = replace(newcomer, id=child.guardian) if known and child.guardian is not None else newcomer
    return (*(replace(one, guardian=guardian.id) if one is child else one for one in day.volunteers), guardian)


def _answering(day: Day, person: Volunteer) -> Volunteer:
    return replace(
        person,
        stature_cm=person.stature_cm or _typical_stature_cm(day),
        boot_eu=person.boot_eu or _typical_boot_eu(day),
        jacket_class=person.jacket_class or JacketClass.ADULT,
        languages=person.languages or _common_languages(day),
    )


def _typical_stature_cm(day: Day) -> int:
    known = sorted(one.stature_cm for one in day.volunteers if one.adult and one.stature_cm is not None)
    return median_low(known) if known else STATURE_CM


def _typical_boot_eu(day: Day) -> Decimal:
    known = sorted(one.boot_eu for one in day.volunteers if one.adult and one.boot_eu is not None)
    return median_low(known) if known else BOOT_EU


def _common_languages(day: Day) -> frozenset[str]:
    spoken = Counter(language for one in day.volunteers for language in sorted(one.languages))
    best = min(spoken, key=lambda language: (-spoken[language], language), default=None)
    return frozenset() if best is None else frozenset({best})


# --- Private: comparing ----------------------------------------------------------------------------------------------


def _moves(before: Plan, after: Plan) -> Iterator[Move]:
    old, new = _places(before), _places(after)
    for person in sorted({*old, *new}):
        if person not in new:
            yield Move(person=person, reason=reason("what_if.gone", who=person))
        elif old.get(person) != new[person]:
            yield Move(person=person, reason=_place_reason(person, new[person]))


def _places(plan: Plan) -> Mapping[str, Place]:
    """Everyone's place: ("unit", zone, partners…), ("role", role, zone or "") or ("nothing",)."""
    found: dict[str, Place] = {}
    for unit in plan.units:
        for member in unit.members:
            partners = sorted(other for other in unit.members if other != member)
            found[member] = ("unit", unit.zone, *partners)
    found.update({duty.volunteer: ("role", duty.role.value, duty.zone or "") for duty in plan.shore})
    found.update({left.volunteer: ("nothing",) for left in plan.not_placed})
    return found


def _place_reason(person: str, place: Place) -> Reason:
    match place:
        case ("unit", zone, other):
            return reason("what_if.to_unit", who=person, zone=zone, other=other)
        case ("unit", zone, other, third):
            return reason("what_if.to_trio", who=person, zone=zone, other=other, third=third)
        case ("role", role, ""):
            return reason("what_if.to_role", who=person, role=role)
        case ("role", role, zone):
            return reason("what_if.to_role_at", who=person, role=role, zone=zone)
        case _:
            return reason("what_if.to_nothing", who=person)


def _shortages(before: Plan, after: Plan) -> Iterator[ShortChange]:
    old, new = _short(before.gear), _short(after.gear)
    for item, size in {**old, **new}:
        was, is_now = old.get((item, size), 0), new.get((item, size), 0)
        if was != is_now:
            code = "what_if.short_of_size" if size else "what_if.short"
            values = {"size": size} if size else {}
            because = reason(code, item=item.value, before=was, after=is_now, **values)
            yield ShortChange(item=item, size=size, before=was, after=is_now, reason=because)


def _short(lines: Iterable[GearLine]) -> dict[tuple[Item, str], float]:
    return {(line.item, line.size): line.short for line in lines if line.short > 0}


def _zone_turns(before: Plan, after: Plan) -> Iterator[ZoneTurn]:
    old, new = ({closed.zone for closed in plan.closed_zones} for plan in (before, after))
    for zone in sorted(old ^ new):
        code = "what_if.closed" if zone in new else "what_if.opened"
        yield ZoneTurn(zone=zone, closed=zone in new, reason=reason(code, zone=zone))
