"""Small days for the planner's tests: people, zones and stock with harmless values, to be changed one by one."""

import datetime
from decimal import Decimal
from typing import Any

from reedcrew.trade.day import Day, StockLine, Volunteer, Zone
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.plan import NotPlaced, Plan, ShoreRole
from reedcrew.trade.policy import Policy

START = datetime.datetime(2025, 8, 2, 9, tzinfo=datetime.UTC)


def wader(name: str, **facts: Any) -> Volunteer:
    """An adult in their own boots who may enter 60 cm of water, with one earlier water day."""
    given: dict[str, Any] = {
        "adult": True,
        "stature_cm": 175,
        "jacket_class": JacketClass.ADULT,
        "boot_eu": Decimal(42),
        "water_ready": True,
        "water_days": 1,
        "languages": frozenset({"en"}),
    }
    brought = frozenset(facts.pop("own", ())) | (frozenset({Item.BOOTS}) if facts.pop("boots", True) else frozenset())
    return Volunteer(id=name, own=brought, **(given | facts))


def child(name: str, guardian: str | None, **facts: Any) -> Volunteer:
    """A person under 18 who may enter 30 cm of water beside this guardian."""
    given: dict[str, Any] = {"adult": False, "stature_cm": 150, "water_days": 0, "jacket_class": JacketClass.YOUTH}
    return wader(name, guardian=guardian, **(given | facts))


def ashore(name: str, **facts: Any) -> Volunteer:
    """An adult who stays out of the water."""
    return wader(name, **({"water_ready": False} | facts))


FIRST_AIDER = ashore("z-first-aider", first_aider=True)
SPOTTER = ashore("z-spotter")


def sets(waders: dict[str, int], jackets: int = 20) -> tuple[StockLine, ...]:
    """Waders by label, and adult life jackets."""
    lines = tuple(StockLine(item=Item.CHEST_WADERS, size=size, count=count) for size, count in waders.items())
    return (*lines, StockLine(item=Item.LIFE_JACKET, size="adult", count=jackets))


def zone(depth_cm: int = 60, units_max: int = 9, name: str = "reach", current_m_s: float = 0.0) -> Zone:
    """A zone of still water with room for nine units."""
    return Zone(name=name, depth_cm=depth_cm, units_max=units_max, current_m_s=current_m_s, stems=100)


def day(
    *people: Volunteer,
    zones: tuple[Zone, ...] | Zone | None = None,
    stock: tuple[StockLine, ...] | None = None,
    policy: Policy | None = None,
    crew: tuple[Volunteer, ...] = (FIRST_AIDER, SPOTTER),
) -> Day:
    """A day with these people beside a first-aider and a spotter on shore, and plenty of sets of size 42."""
    chosen = zones or zone()
    return Day(
        start=START,
        end=START + datetime.timedelta(hours=3),
        zones=chosen if isinstance(chosen, tuple) else (chosen,),
        volunteers=(*people, *crew),
        stock=sets({"42": 20}) if stock is None else stock,
        policy=policy or Policy(),
    )


def in_water(plan: Plan) -> set[str]:
    """Everyone in a unit."""
    return {member for unit in plan.units for member in unit.members}


def units_of(of_day: Day) -> set[tuple[str, ...]]:
    """The members of each unit of the day's plan."""
    return {unit.members for unit in plan_day(of_day).units}


def codes_of(plan: Plan, name: str) -> list[str]:
    """The codes of the reasons for a person's place."""
    for unit in plan.units:
        if name in unit.members:
            return [reason.code for reason in unit.reasons]
    rest: list[ShoreRole | NotPlaced] = [*plan.shore, *plan.not_placed]
    return next([reason.code for reason in place.reasons] for place in rest if place.volunteer == name)
