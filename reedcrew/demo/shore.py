"""Enters the shore of the demo group: sites, stands, checks, zones with their yearly surveys."""

import datetime
import json
import math
from collections.abc import Mapping
from decimal import Decimal

from reedcrew.demo.checks import enter_checks
from reedcrew.demo.dates import Season, at_site
from reedcrew.demo.places import SITES, STANDS, TIME_ZONE, ZONES, SiteFacts, StandFacts, ZoneFacts
from reedcrew.demo.surveys import count_quadrats, survey_days
from reedcrew.people.models import Account, Group
from reedcrew.stands import services
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.trade.outline import EARTH, Outline, read_outline


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


def survey_zones(stands: Mapping[str, Stand], actor: Account, now: datetime.datetime) -> None:
    """Enter the zones on the day of their first survey, and the surveys of the last three Junes."""
    found_on = survey_days(now)[0]
    for facts in ZONES:
        _zone(stands[facts.stand], facts, found_on, actor)
    count_quadrats(stands, actor, now)


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


def _zone(stand: Stand, facts: ZoneFacts, found_on: datetime.date, actor: Account) -> None:
    gauge_cm = next(site.gauge_cm for site in SITES if site.name == stand.site.name)
    if facts.bed is Zone.Bed.DRY:
        gauge_cm = None  # the bank lies well above the water, so the gauge says nothing of it
    outline = outline_of(stand.site, facts.corners)
    services.record_zone(
        stand=stand,
        name=facts.name,
        depth_cm=facts.depth_cm,
        surveyed_on=found_on,
        gauge_cm=gauge_cm,
        current_m_s=Decimal(facts.current_m_s),
        bed=facts.bed,
        stems=facts.stems[0],
        units_max=facts.units_max,
        outline=outline,
        actor=actor,
        now=at_site(found_on, 20),
    )
