"""Reads of plans: the sheet of one, what a volunteer is told, the organizer's bench."""

from reedcrew.crews.queries.bench import Bench, bench
from reedcrew.crews.queries.places import OwnPlace, own_places, own_places_on, told_places
from reedcrew.crews.queries.plan_sheet import (
    ClosedZoneLine,
    GearListLine,
    PersonLine,
    PlanSheet,
    UnitLine,
    ZoneLine,
    plan_sheet,
)
from reedcrew.crews.queries.supposed import Supposed, suppose

__all__ = [
    "Bench",
    "ClosedZoneLine",
    "GearListLine",
    "OwnPlace",
    "PersonLine",
    "PlanSheet",
    "Supposed",
    "UnitLine",
    "ZoneLine",
    "bench",
    "own_places",
    "own_places_on",
    "plan_sheet",
    "suppose",
    "told_places",
]
