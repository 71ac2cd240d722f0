"""What the forecast, the depths and the sun mean for the crew of a day. Numbers only where their formulas hold."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.crews.inputs import weather_of
from reedcrew.people.policy import policy_of
from reedcrew.stands.queries import depths_today
from reedcrew.trade.day import Weather, Zone
from reedcrew.trade.daylight import DaylightVerdict, SunTimes, sun_times, within_daylight
from reedcrew.trade.drinking_water import CEILING_L_PER_H, SUPPLY_L_PER_H, WaterSupply, litres_per_person_hour, supply
from reedcrew.trade.felt import Felt, FeltHeat, felt_heat, felt_humidex, felt_wind
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.reasons import Reason
from reedcrew.trade.water import WADING_PRODUCT_M2_S, wading_verdict
from reedcrew.trade.weather import (
    COLD_SHOCK_C,
    COLD_WATER_C,
    FULL_SUN_ADDS_C,
    HEAT_BANDS_F,
    HEAT_INDEX_F_MIN,
    HUMIDEX_TEMP_C_MIN,
    WIND_CHILL_TEMP_C_MAX,
    WIND_CHILL_WIND_KM_H_MIN,
    Immersion,
    cautions,
    celsius,
    immersion,
    index_of,
)
from reedcrew.trade.work_rest import Effort, Sky, WorkRest, work_rest
from reedcrew.workdays.models import WorkDay

# What the sentences on methods name; the values are the trade's.
LIMITS = {
    "heat_from_c": round(celsius(HEAT_INDEX_F_MIN), 1),
    "sun_adds_c": FULL_SUN_ADDS_C,
    "humidex_from_c": HUMIDEX_TEMP_C_MIN,
    "chill_to_c": WIND_CHILL_TEMP_C_MAX,
    "chill_from_km_h": WIND_CHILL_WIND_KM_H_MIN,
    "cold_shock_c": COLD_SHOCK_C,
    "cold_water_c": COLD_WATER_C,
    "wading_m2_s": WADING_PRODUCT_M2_S,
    "drink_l": round(SUPPLY_L_PER_H, 2),
    "drink_more_c": round(celsius(HEAT_BANDS_F[0][0]), 1),
    "drink_most_l": round(CEILING_L_PER_H, 2),
}
EFFORTS = (Effort.HEAVY, Effort.MODERATE, Effort.LIGHT)  # cutting, hauling, the sign-in desk


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyLine:
    """Work and rest in each hour under one sky, by effort in the order of EFFORTS."""

    sky: Sky
    spells: Sequence[WorkRest]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneLine:
    """A zone's depth now and its current, and whether anybody may enter it at all (H6, H7, H9)."""

    zone: str
    depth_cm: int
    current_m_s: float
    open: bool
    reasons: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Everything of the weather page. ``spells`` is empty while temperature or humidity is unknown."""

    weather: Weather
    known: bool
    heat: FeltHeat
    humidex: Felt
    chill: Felt
    cautions: Sequence[Reason]
    spells: Sequence[SkyLine]
    immersion: Immersion | None
    people: int
    hours: float
    drinking: WaterSupply
    zones: Sequence[ZoneLine]
    sun: SunTimes
    daylight: DaylightVerdict

    @property
    def closed_zones(self) -> list[ZoneLine]:
        return [zone for zone in self.zones if not zone.open]


@dataclass(frozen=True, slots=True, kw_only=True)
class Daylight:
    """Sun times of a day at its site, and whether its hours lie between them."""

    sun: SunTimes
    verdict: DaylightVerdict


def daylight_of(day: WorkDay) -> Daylight:
    """Dawn, sunrise, sunset and dusk where and when the day is; no query."""
    longitude, latitude = day.stand.site.position
    zone = day.zone_info
    sun = sun_times(latitude, longitude, day.date, zone)
    verdict = within_daylight(day.starts_at.astimezone(zone), day.ends_at.astimezone(zone), sun)
    return Daylight(sun=sun, verdict=verdict)


def conditions(day: WorkDay, now: datetime.datetime) -> Conditions:
    """The conditions of a day. The number of queries grows with nothing."""
    told = weather_of(day)
    weather = told or Weather()
    light = daylight_of(day)
    people = day.sign_ups.expected().count()
    hours = (day.ends_at - day.starts_at).total_seconds() / 3600
    return Conditions(
        weather=weather,
        known=told is not None,
        heat=felt_heat(weather),
        humidex=felt_humidex(weather),
        chill=felt_wind(weather),
        cautions=cautions(told),
        spells=_spells(weather),
        immersion=None if weather.water_temp_c is None else immersion(weather.water_temp_c),
        people=people,
        hours=hours,
        drinking=supply(people, hours, litres_per_person_hour(index_of(weather))),
        zones=_zones(day, now),
        sun=light.sun,
        daylight=light.verdict,
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _spells(weather: Weather) -> list[SkyLine]:
    temp_c, rh_percent = weather.temp_c, weather.rh_percent
    if temp_c is None or rh_percent is None:
        return []
    return [SkyLine(sky=sky, spells=[work_rest(temp_c, rh_percent, sky, effort) for effort in EFFORTS]) for sky in Sky]


def _zones(day: WorkDay, now: datetime.datetime) -> list[ZoneLine]:
    policy = policy_of(day.group)
    worked = set(day.zones.values_list("pk", flat=True))
    found = []
    for known in depths_today(day.stand, now):
        if known.zone.pk not in worked:
            continue
        zone = Zone(
            name=known.zone.name,
            depth_cm=known.depth_cm,
            current_m_s=float(known.zone.current_m_s),
            units_max=known.zone.units_max,
        )
        closed = closure(zone, policy)
        said = closed or wading_verdict(zone.depth_cm, zone.current_m_s, policy).reasons
        found.append(
            ZoneLine(
                zone=zone.name,
                depth_cm=zone.depth_cm,
                current_m_s=float(known.zone.current_m_s),
                open=not closed,
                reasons=(known.reason, *said),
            )
        )
    return found
