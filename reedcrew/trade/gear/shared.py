"""What the crew takes along together: rescue, hauling, cleaning, drinking, shade, paper."""

import math
from collections.abc import Sequence

from reedcrew.trade.cleaning import GEAR_MG_L, bleach_ml, gear_solution
from reedcrew.trade.day import Day
from reedcrew.trade.disposal import bags_for, may_have_seed
from reedcrew.trade.drinking_water import litres_per_person_hour, supply
from reedcrew.trade.effort import expected_stems
from reedcrew.trade.first_aid import kits_needed
from reedcrew.trade.gear import norms
from reedcrew.trade.gear.norms import LITRE, MILLILITRE, PIECE
from reedcrew.trade.gear.shelf import Shelf
from reedcrew.trade.gear.workers import Worker, cutters_in
from reedcrew.trade.items import Item
from reedcrew.trade.method import is_water_work
from reedcrew.trade.plan import GearLine, Plan
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.weather import index_of


def lines(day: Day, plan: Plan, workers: tuple[Worker, ...], shelf: Shelf) -> tuple[GearLine, ...]:
    """All lines of shared gear. People are everyone on the roster:

    whoever is not placed may come and must drink too.
    """
    people = len(day.volunteers)
    if people == 0:
        return ()
    found = (
        *_rescue(day, plan, shelf),
        *_reed(day, plan, workers, shelf),
        *_people(day, people, shelf),
        *_station(people, day, shelf),
    )
    return tuple(line for line in found if line.needed > 0)


def _line(day: Day, shelf: Shelf, item: Item, needed: float, reasons: Sequence[Reason], unit: str = PIECE) -> GearLine:
    in_stock = shelf.total(item)
    # What people bring counts piece by piece; of litres nobody has said how many.
    own = sum(item in person.own for person in day.volunteers) if unit == PIECE else 0
    return GearLine(
        item=item,
        size="",
        unit=unit,
        needed=needed,
        own=own,
        in_stock=in_stock,
        short=round(max(0, needed - own - in_stock), 1),
        reasons=tuple(reasons),
    )


def _rescue(day: Day, plan: Plan, shelf: Shelf) -> tuple[GearLine, ...]:
    worked = {unit.zone for unit in plan.units}
    zones = sum(zone.name in worked and is_water_work(zone.depth_cm) for zone in day.zones)
    kits = kits_needed(len(day.volunteers))
    return (
        _line(day, shelf, Item.THROW_LINE, zones, [reason("gear.throw_line", zones=zones, metres=norms.THROW_LINE_M)]),
        _line(day, shelf, Item.FIRST_AID_KIT, kits.count, kits.reasons),
    )


def _reed(day: Day, plan: Plan, workers: tuple[Worker, ...], shelf: Shelf) -> tuple[GearLine, ...]:
    stems = sum(
        expected_stems(zone.stems, cutters_in(zone, workers), day.hours, zone.depth_cm, day.policy, day.rates)
        for zone in day.zones
    )
    bags = [reason("gear.bags", stems=stems)]
    if not may_have_seed(day.start.date()):
        bags.append(reason("gear.bags_or_pile"))
    units = len(plan.units)
    cutters = sum(worker.cuts for worker in workers)
    stones = norms.each(cutters, norms.TOOLS_PER_STONE)
    return (
        _line(day, shelf, Item.SHARPENING_STONE, stones, [reason("gear.stones", every=norms.TOOLS_PER_STONE)]),
        _line(
            day,
            shelf,
            Item.SLED,
            norms.each(units, norms.UNITS_PER_SLED),
            [reason("gear.sled", units=units, every=norms.UNITS_PER_SLED)],
        ),
        _line(
            day,
            shelf,
            Item.TWINE,
            norms.twine_balls(stems),
            [reason("gear.twine", stems=stems, metres=norms.TWINE_M_PER_BALL)],
        ),
        _line(day, shelf, Item.BAG, bags_for(stems), bags),
    )


def _people(day: Day, people: int, shelf: Shelf) -> tuple[GearLine, ...]:
    heat_index = index_of(day.weather)
    water = supply(people, day.hours, litres_per_person_hour(heat_index))
    water_reasons = water.reasons if heat_index is not None else (*water.reasons, reason("gear.heat_unknown"))
    applications = norms.sunscreen_applications(day.hours)
    return (
        # Rounded up to a tenth, because a can is filled by eye.
        _line(day, shelf, Item.DRINKING_WATER, math.ceil(water.litres * 10) / 10, water_reasons, LITRE),
        _line(
            day,
            shelf,
            Item.SUNSCREEN,
            people * applications * norms.SUNSCREEN_ML,
            [reason("gear.sunscreen", people=people, times=applications, millilitres=norms.SUNSCREEN_ML)],
            MILLILITRE,
        ),
        _line(
            day,
            shelf,
            Item.SHADE,
            norms.each(people, norms.PEOPLE_PER_SHADE),
            [reason("gear.shade", every=norms.PEOPLE_PER_SHADE)],
        ),
        _line(
            day,
            shelf,
            Item.SIGN_IN_SHEET,
            norms.each(people, norms.ROWS_PER_SIGN_IN_SHEET),
            [reason("gear.sign_in_sheet", rows=norms.ROWS_PER_SIGN_IN_SHEET)],
        ),
    )


def _station(people: int, day: Day, shelf: Shelf) -> tuple[GearLine, ...]:
    stations = norms.each(people, norms.PEOPLE_PER_STATION)
    litres = stations * norms.SOLUTION_L_PER_STATION
    because = reason("gear.station", stations=stations, every=norms.PEOPLE_PER_STATION)
    bleach = math.ceil(bleach_ml(GEAR_MG_L, litres, norms.BLEACH_PERCENT))
    mix = reason("gear.bleach", litres=litres, percent=norms.BLEACH_PERCENT, target=GEAR_MG_L)
    cautions = gear_solution(litres, norms.BLEACH_PERCENT).cautions
    return (
        _line(day, shelf, Item.BLEACH, bleach, [because, mix, *cautions], MILLILITRE),
        _line(day, shelf, Item.CLEANING_WATER, litres, [because], LITRE),
        _line(day, shelf, Item.BRUSH, stations * norms.BRUSHES_PER_STATION, [because]),
        _line(day, shelf, Item.SPRAYER, stations * norms.SPRAYERS_PER_STATION, [because]),
    )
