"""Invented days and drafts of plans for the tests of the gear list."""

import datetime
import random
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from reedcrew.trade.day import Day, StockLine, Volunteer, Zone
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.plan import Allotment, Plan, Role, ShoreRole, Source, Status, Unit
from reedcrew.trade.reasons import reason
from reedcrew.trade.stock_sizes import sizes_of

WHY = (reason("H1"),)
START = datetime.datetime(2025, 9, 6, 9, tzinfo=datetime.UTC)
BAY = Zone(name="bay", depth_cm=60, units_max=4, stems=1000)


def person(name, *, boot="42", own=(), **changes):
    """An adult ready for water, 180 cm tall, of jacket class adult."""
    facts: dict[str, Any] = {
        "adult": True,
        "stature_cm": 180,
        "jacket_class": JacketClass.ADULT,
        "boot_eu": Decimal(boot) if boot else None,
        "hand_mm": 229,
        "water_ready": True,
        "languages": frozenset({"en"}),
    }
    return Volunteer(id=name, own=frozenset(own), **(facts | changes))


FIRST_AIDER = person("zoe", first_aider=True, water_ready=False)


def day_of(*people, zones=(BAY,), stock=(), **changes):
    return Day(
        start=START,
        end=START + datetime.timedelta(hours=4),
        zones=zones,
        volunteers=people,
        stock=tuple(StockLine(item=item, size=size, count=count) for item, size, count in stock),
        **changes,
    )


def plan_of(*units, shore=(), closed=()):
    return Plan(
        status=Status.OPTIMAL if units else Status.NO_WATER_WORK,
        objective=(0,) * 5,
        bound=(0,) * 5,
        units=units,
        shore=shore,
        not_placed=(),
        closed_zones=closed,
        gear=(),
        warnings=(),
    )


def pair(*members, zone="bay", waders="42"):
    piece = (
        Allotment(item=Item.CHEST_WADERS, size=waders, source=Source.STOCK),
        Allotment(item=Item.LIFE_JACKET, size="adult", source=Source.STOCK),
    )
    return Unit(zone=zone, members=members, gear=tuple((member, piece) for member in members), reasons=WHY)


def ashore(name, role, zone=None):
    return ShoreRole(volunteer=name, role=role, zone=zone, reasons=WHY)


def sums(plan, item):
    return {line.size: (line.needed, line.own, line.in_stock, line.short) for line in plan.gear if line.item is item}


half_sizes = st.integers(70, 96).map(lambda halves: Decimal(halves) / 2)
labels = st.integers(35, 49).map(str)
stock_lines = st.integers(0, 2**32).map(lambda seed: some_stock(random.Random(seed)))


def some_stock(chance):
    """A stock line of any item, in a size that it comes in."""
    item = chance.choice(list(Item))
    return StockLine(item=item, size=chance.choice(sizes_of(item)), count=chance.randint(0, 5))


def some_person(chance, name):
    """A person of whom some measures may be unknown."""
    return Volunteer(
        id=name,
        adult=chance.random() < 0.8,
        stature_cm=chance.choice((None, 110, 150, 180)),
        jacket_class=chance.choice((None, *JacketClass)),
        boot_eu=chance.choice((None, Decimal(chance.randint(70, 96)) / 2)),
        hand_mm=chance.choice((None, chance.randint(150, 280))),
        water_ready=chance.random() < 0.7,
        first_aider=chance.random() < 0.3,
        own=frozenset(chance.sample(list(Item), chance.randint(0, 8))),
    )


def some_day(seed):
    """A day, and a draft that pairs people off and gives each own gear or a set that is in stock.

    Built from one number, which the test shows if it fails: drawing every value apart takes far longer.
    """
    chance = random.Random(seed)
    people = [some_person(chance, f"p{number}") for number in range(chance.randint(0, 10))]
    stock = [some_stock(chance) for _ in range(chance.randint(0, 25))]
    units = []
    for first in range(0, 2 * chance.randint(0, len(people) // 2), 2):
        zone, members = chance.choice(("bay", "strip")), people[first : first + 2]
        gear = tuple((member.id, some_set(chance, member, zone, stock)) for member in members)
        units.append(Unit(zone=zone, members=tuple(member.id for member in members), gear=gear, reasons=WHY))
    shore = [
        ashore(member.id, chance.choice(list(Role)), chance.choice((None, "strip", "meadow")))
        for member in people[2 * len(units) :]
    ]
    zones = (BAY, Zone(name="strip", depth_cm=20, units_max=3, stems=500), Zone(name="meadow", depth_cm=0, stems=900))
    day = Day(
        start=START,
        end=START + datetime.timedelta(hours=chance.randint(1, 9)),
        zones=zones,
        volunteers=tuple(people),
        stock=tuple(stock),
    )
    return day, plan_of(*units, shore=tuple(shore))


def some_set(chance, member, zone, stock):
    """Waders and jacket as a draft gives them in water work: own ones, or ones that are then in stock."""
    if zone != "bay":
        return ()
    found = []
    for item, size in ((Item.CHEST_WADERS, str(chance.randint(35, 49))), (Item.LIFE_JACKET, "adult")):
        if item in member.own:
            found.append(Allotment(item=item, size="", source=Source.OWN))
        else:
            stock.append(StockLine(item=item, size=size, count=1))
            found.append(Allotment(item=item, size=size, source=Source.STOCK))
    return tuple(found)


days_with_drafts = st.integers(0, 2**32).map(some_day)


def allotments_of(plan):
    for unit in plan.units:
        for name, given_to in unit.gear:
            yield from ((name, allotment) for allotment in given_to)
    for duty in plan.shore:
        yield from ((duty.volunteer, allotment) for allotment in duty.gear)
