"""Counts quadrats in the demo group's stands: each June before the work, by chance but the same on every loading."""

import datetime
from collections.abc import Mapping, Sequence
from decimal import Decimal
from random import Random

from reedcrew.demo.dates import at_site
from reedcrew.demo.places import SITES, ZONES, ZoneFacts
from reedcrew.people.models import Account
from reedcrew.stands import services
from reedcrew.stands.models import Stand, Zone
from reedcrew.stands.services import QuadratEntry
from reedcrew.trade.outline import Position
from reedcrew.trade.sampling import Place, random_places

SURVEYED = (6, 20)  # month and day of each year's survey
YEARS = 3  # of surveys
QUADRATS = 8  # in each zone
CLUMPING = 6  # shape of the scatter between quadrats: counts vary more than by chance, as in a real stand
SHALLOWER_CM = 12  # so much less deep than the deepest place the other quadrats may lie
COUNTED_BY = ("Ottilie and Torvald", "Ottilie, Rosalba and Torvald", "Rosalba and Torvald")


def survey_days(now: datetime.datetime) -> list[datetime.date]:
    """The days of the last three surveys at a moment, the earliest first."""
    last = now.year if at_site(datetime.date(now.year, *SURVEYED), 21) <= now else now.year - 1
    return [datetime.date(last - years_ago, *SURVEYED) for years_ago in reversed(range(YEARS))]


def count_quadrats(stands: Mapping[str, Stand], actor: Account, now: datetime.datetime) -> None:
    """Enter the surveys of the last three Junes of every stand with zones."""
    for name in dict.fromkeys(facts.stand for facts in ZONES):
        stand = stands[name]
        zones = {zone.name: zone for zone in stand.zones.all()}
        known = [facts for facts in ZONES if facts.stand == name]
        gauge_cm = next(site.gauge_cm for site in SITES if site.name == stand.site.name)
        for step, surveyed_on in enumerate(survey_days(now)):
            services.record_survey(
                stand=stand,
                surveyed_on=surveyed_on,
                quadrat_m2=Decimal(1),
                quadrats=[
                    entry for facts in known for entry in _counted(zones[facts.name], facts, step, stand.site.position)
                ],
                gauge_cm=gauge_cm,
                counted_by=COUNTED_BY[step],
                actor=actor,
                now=at_site(surveyed_on, 21),
            )


def _counted(zone: Zone, facts: ZoneFacts, step: int, start: Position) -> Sequence[QuadratEntry]:
    """Quadrats of one zone in one year: the stems of the facts over its area, scattered."""
    chance = Random(f"{facts.stand} {facts.name} {step}")  # noqa: S311  # the demo, not a secret
    density = facts.stems[step] / float(zone.area_m2 or 1)
    places: Sequence[Place] = ()
    if step == YEARS - 1:  # the last time the places were drawn and kept
        places = random_places(zone.outline or {}, QUADRATS, seed=chance.randrange(1000), start=start).places
    entries = []
    for number in range(1, QUADRATS + 1):
        place = places[number - 1] if number <= len(places) else None
        entries.append(
            QuadratEntry(
                zone=zone,
                number=number,
                stems=round(chance.gammavariate(CLUMPING, density / CLUMPING)),
                height_cm=chance.randint(150, 260),
                depth_cm=_depth(facts, number, chance),
                seed_heads=0,
                latitude=Decimal(f"{place.latitude:.6f}") if place else None,
                longitude=Decimal(f"{place.longitude:.6f}") if place else None,
            )
        )
    return entries


def _depth(facts: ZoneFacts, number: int, chance: Random) -> int | None:
    if facts.bed is Zone.Bed.DRY:
        return None
    return facts.depth_cm if number == 1 else max(0, facts.depth_cm - chance.randint(0, SHALLOWER_CM))
