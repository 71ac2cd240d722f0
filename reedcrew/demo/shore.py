"""Enters the shore of the demo group: sites, stands, checks, zones with their yearly surveys."""

import datetime
import json
import math
from collections.abc import Mapping
from decimal import Decimal

from reedcrew.demo.checks import enter_checks
from reedcrew.demo.dates import Season, at_site
from reedcrew.demo.places import SITES, STANDS, TIME_ZONE, ZONES, SiteFacts, StandFacts, ZoneFacts
from reedcrew.people.models import Account, Group
from reedcrew.stands import services
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.trade.outline import EARTH, Outline, read_outline

SURVEYED = (6, 20)  # month and day of each year's survey


def outline_of(site: Site, corners: tuple[tuple[float, float], ...]) -> Outline:
    """The outline with these corners, given in metres east and north of the site's meeting place."""
    ring = [_moved(site, east, north) for east, north in (*corners, corners[0])]
    return read_outline(json.dumps({"type": "Polygon", "coordinates": [ring]}), site=site.position)


def enter_sites(group: Group, actor: Account, now: datetime.datetime) -> dict[str, Site]:
    """Enter all sites; returns them by name."""
    return {facts.name: _site(group, facts, actor, now) for facts in SITES}


def enter_stands(sites: Mapping[str, Site], season: Season, actor: Account, now: datetime.datetime) -> dict[str, Stand]:
    """Enter all stands with the checks of their subspecies, each check on its own evening; returns them by name."""
    return {facts.name: _stand(sites[facts.site], facts, season, actor, now) for facts in STANDS}


def survey_zones(stands: Mapping[str, Stand], season: Season, actor: Account, now: datetime.datetime) -> None:
    """Enter the zones as surveyed in June two years ago, and their later surveys as far as they lie in the past."""
    for facts in ZONES:
        _survey(stands[facts.stand], facts, season, actor, now)


# --- Private ---------------------------------------------------------------------------------------------------------


def _moved(site: Site, east: float, north: float) -> list[float]:
    longitude, latitude = site.position
    azimuth = math.degrees(math.atan2(east, north))
    there_longitude, there_latitude, _back = EARTH.fwd(longitude, latitude, azimuth, math.hypot(east, north))
    return [there_longitude, there_latitude]


def _site(group: Group, facts: SiteFacts, actor: Account, now: datetime.datetime) -> Site:
    own_window = {}
    if facts.window is not None:
        own_window = {
            "window_opens": facts.window.opens,
            "window_closes": facts.window.closes,
            "window_authority": facts.window.authority,
        }
    return services.record_site(
        group=group,
        name=facts.name,
        latitude=Decimal(facts.latitude),
        longitude=Decimal(facts.longitude),
        time_zone=TIME_ZONE,
        meeting_place=facts.meeting_place,
        access=facts.access,
        parking=facts.parking,
        phone_signal=facts.phone_signal,
        emergency_entrance=facts.emergency_entrance,
        hazards=facts.hazards,
        actor=actor,
        now=now,
        **own_window,
    )


def _stand(site: Site, facts: StandFacts, season: Season, actor: Account, now: datetime.datetime) -> Stand:
    stand = services.record_stand(
        site=site,
        name=facts.name,
        first_cut_year=None if facts.first_cut is None else season.year - facts.first_cut,
        note=facts.note,
        actor=actor,
        now=now,
    )
    enter_checks(stand, season, actor)
    return stand


def _survey(stand: Stand, facts: ZoneFacts, season: Season, actor: Account, now: datetime.datetime) -> None:
    gauge_cm = next(site.gauge_cm for site in SITES if site.name == stand.site.name)
    if facts.bed is Zone.Bed.DRY:
        gauge_cm = None  # the bank lies well above the water, so the gauge says nothing of it
    outline = outline_of(stand.site, facts.corners)
    zone: Zone | None = None
    for years_ago, stems in zip((2, 1, 0), facts.stems, strict=True):
        surveyed_on = datetime.date(season.year - years_ago, *SURVEYED)
        evening = at_site(surveyed_on, 20)
        if evening > now:
            return
        if zone is None:
            zone = services.record_zone(
                stand=stand,
                name=facts.name,
                depth_cm=facts.depth_cm,
                surveyed_on=surveyed_on,
                gauge_cm=gauge_cm,
                current_m_s=Decimal(facts.current_m_s),
                bed=facts.bed,
                stems=stems,
                units_max=facts.units_max,
                outline=outline,
                actor=actor,
                now=evening,
            )
        else:
            zone = services.change_zone(
                zone=zone,
                version=zone.version,
                surveyed_on=surveyed_on,
                stems=stems,
                outline=outline,
                actor=actor,
                now=evening,
            )
