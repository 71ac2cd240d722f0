"""What the demo group posts: a morning at each of its worked stands."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from reedcrew.demo.dates import at_site
from reedcrew.demo.places import BOATHOUSE, LANDING, QUARRY
from reedcrew.people.models import Account
from reedcrew.stands.models import Stand
from reedcrew.workdays import services
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.services import DayFacts

STARTS, ENDS = (9, 0), (13, 0)  # hour and minute at the site


@dataclass(frozen=True, slots=True, kw_only=True)
class Outing:
    """A morning at a stand. ``adults`` beside the leads come to a past one."""

    title: str
    water_places: int
    land_places: int
    adults: int
    pile_place: str
    note: str


OUTINGS = {
    LANDING: Outing(
        title="Reed morning at the landing",
        water_places=25,
        land_places=12,
        adults=16,
        pile_place="High bank above the landing",
        note="We meet on the gravel lot and walk over together. Coffee and a short briefing come before any cutting.",
    ),
    QUARRY: Outing(
        title="Quarry pool morning",
        water_places=12,
        land_places=10,
        adults=11,
        pile_place="Gravel beside the quarry gate",
        note="No phone signal here. Tell somebody at home when you will be back.",
    ),
    BOATHOUSE: Outing(
        title="Last stems at the boathouse",
        water_places=8,
        land_places=8,
        adults=8,
        pile_place="Concrete slab behind the boathouse",
        note="Few stems are left: we search the whole fringe in a line and cut what we find.",
    ),
}
BRING = "Sun hat and long sleeves\nDrinking bottle, filled\nClosed shoes that may get wet\nSnack for the break"
# The forecast of the next day.
AIR_C, HUMIDITY_PERCENT, WIND_KM_H, WATER_C = Decimal("27.5"), 60, Decimal("14.0"), Decimal("19.0")


def post(
    stand: Stand, date: datetime.date, *, actor: Account, now: datetime.datetime, with_forecast: bool = False
) -> WorkDay:
    """Post a morning on all zones of a stand."""
    outing = OUTINGS[stand.name]
    facts = DayFacts(
        title=outing.title,
        starts_at=at_site(date, *STARTS),
        ends_at=at_site(date, *ENDS),
        zones=list(stand.zones.all()),
        water_places=outing.water_places,
        land_places=outing.land_places,
        note=outing.note,
        what_to_bring=BRING,
        forecast_temp_c=AIR_C if with_forecast else None,
        forecast_rh_percent=HUMIDITY_PERCENT if with_forecast else None,
        forecast_wind_km_h=WIND_KM_H if with_forecast else None,
        forecast_water_temp_c=WATER_C if with_forecast else None,
    )
    return services.post_day(stand=stand, facts=facts, actor=actor, now=now)
