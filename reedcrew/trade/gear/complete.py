"""Completes a drafted plan with everyone's gear, the gear list and what to warn of."""

from collections.abc import Mapping
from dataclasses import replace

from reedcrew.trade.day import Day
from reedcrew.trade.first_aid import first_aiders_needed
from reedcrew.trade.gear import personal, shared, water_sets
from reedcrew.trade.gear.norms import LITRE
from reedcrew.trade.gear.shelf import Shelf, size_order
from reedcrew.trade.gear.workers import DRAFTED, workers_of
from reedcrew.trade.items import Item
from reedcrew.trade.pairing.eligibility import first_aiders
from reedcrew.trade.plan import Allotment, GearLine, Plan, ShoreRole, Unit
from reedcrew.trade.reasons import Reason, reason

# What may hurt somebody when it is missing on the day. Missing waders and jackets keep people ashore and hurt nobody.
PROTECTIVE = frozenset(
    {
        Item.BOOTS,
        Item.GLOVES,
        Item.EYE_PROTECTION,
        Item.WHISTLE,
        Item.THROW_LINE,
        Item.FIRST_AID_KIT,
        Item.DRINKING_WATER,
    }
)


def complete(day: Day, draft: Plan) -> Plan:
    """The plan with every worker's gear and all lines of the gear list (design, "The gear list").

    ``draft`` comes from trade.pairing: its units hold chest waders and life jackets only; other gear in it is dealt out
    anew, so completing a complete plan changes nothing. People get their own gear first, then stock by size; who goes
    without stands in the line's ``without``. Lines stand in the order of Item, then of size; a line that needs
    nothing is left out. What ``needed`` counts for waders and life jackets is told in trade.gear.water_sets. Warnings
    are added for missing protective gear and too few first-aiders.

    Raises UnusableInput for a day longer than 24 hours or a measure that cannot be.
    """
    drafted = {
        member: tuple(allotment for allotment in allotments if allotment.item in DRAFTED)
        for unit in draft.units
        for member, allotments in unit.gear
    }
    shelf = Shelf(day.stock)
    workers = workers_of(day, draft)
    set_lines = water_sets.lines(day, draft, drafted, shelf)
    worn = personal.outfit(workers, shelf, day.policy)
    found = (*set_lines, *worn.lines, *shared.lines(day, draft, workers, shelf))
    items = list(Item)
    gear = tuple(sorted(found, key=lambda line: (items.index(line.item), size_order(line.size))))
    return replace(
        draft,
        units=tuple(_equipped(unit, drafted, worn.given) for unit in draft.units),
        shore=tuple(_equipped_ashore(duty, worn.given) for duty in draft.shore),
        gear=gear,
        warnings=_with(draft.warnings, _warnings(day, gear)),
    )


def _in_order(allotments: list[Allotment]) -> tuple[Allotment, ...]:
    items = list(Item)
    return tuple(sorted(allotments, key=lambda allotment: items.index(allotment.item)))


def _equipped(unit: Unit, drafted: Mapping[str, tuple[Allotment, ...]], given: Mapping[str, list[Allotment]]) -> Unit:
    return replace(
        unit,
        gear=tuple((member, (*drafted.get(member, ()), *_in_order(given.get(member, [])))) for member in unit.members),
    )


def _equipped_ashore(duty: ShoreRole, given: Mapping[str, list[Allotment]]) -> ShoreRole:
    return replace(duty, gear=_in_order(given.get(duty.volunteer, [])))


def _warnings(day: Day, gear: tuple[GearLine, ...]) -> tuple[Reason, ...]:
    found = [_shortage(line) for line in gear if line.item in PROTECTIVE and line.short > 0]
    needed = first_aiders_needed(len(day.volunteers)).count
    present = len(first_aiders(day))
    if present < needed:
        found.append(reason("first_aid.too_few", present=present, needed=needed))
    return tuple(found)


def _shortage(line: GearLine) -> Reason:
    if line.unit == LITRE:
        return reason("gear.short_of_litres", item=line.item.value, short=line.short)
    if line.size:
        return reason("gear.short_of_size", item=line.item.value, size=line.size, short=line.short)
    return reason("gear.short", item=line.item.value, short=line.short)


def _with(warnings: tuple[Reason, ...], more: tuple[Reason, ...]) -> tuple[Reason, ...]:
    return (*warnings, *(warning for warning in more if warning not in warnings))
