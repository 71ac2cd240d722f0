"""Heat, cold and cold water: indices, their bands, and the cautions of a forecast.

None of this is medical advice; pages show the cautions and defer to local rules and qualified people. Bands are
half-open with the lower bound inside (convention: printed bands share their end points) unless a table says
otherwise.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.day import Weather
from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.words import gettext_noop as _

# What a reading can mean (convention).
TEMP_C_MIN, TEMP_C_MAX = -60, 60
WATER_TEMP_C_MIN, WATER_TEMP_C_MAX = -2, 40
WIND_KM_H_MAX = 300

# Wind chill is defined at or below 10 °C and above 4.8 km/h (NWS, from memory).
WIND_CHILL_TEMP_C_MAX = 10
WIND_CHILL_WIND_KM_H_MIN = 4.8

# Where the heat index is known. Below 80 °F it is not given (National Weather Service); the damp and dry corrections
# reach 112 °F of air, and the largest index that the printed charts show is 137 °F: hotter is past them.
HEAT_INDEX_F_MIN, HEAT_INDEX_F_MAX = 80, 137
HEAT_TEMP_F_MAX = 112
HUMIDEX_TEMP_C_MIN = 20  # humidex is given for air from here on (Environment Canada, from memory)

FULL_SUN_ADDS_C = 8.3  # full sun can add up to 15 °F to the heat index (weather.gov, osha.gov)
SHADE_TEMP_C = 26.7  # air temperature from which shade is offered: 80 °F, 8 CCR § 3395
# 90 °F, OSHA proposed rule of 2024-08-30, not final: 15 min rest each 2 h. Stricter than the 10 min each 2 h from 35
# °C of air that 8 CCR § 3395 asks of farms, so it stands for both.
TRIGGER_HEAT_INDEX_C = 32.2
TRIGGER_REST_MIN = 15
REST_EACH_H = 2

# Vapour pressure as humidex takes it (Masterton and Richardson, 1979): hPa, K, and 0 °C in K.
VAPOUR_HPA, VAPOUR_K, VAPOUR_BASE_K, ZERO_C_K = 6.11, 5417.7530, 273.16, 273.15

COLD_SHOCK_C = 15.0  # at or below: cold shock (Canadian boating safety guide, 59 °F)
COLD_WATER_C = 21.1  # below: cold water for the US Coast Guard, 70 °F


class HeatBand(StrEnum):
    """Heat at a work site by heat index: the bands of the OSHA guide."""

    LOWER = _("lower")
    MODERATE = _("moderate")
    HIGH = _("high")
    VERY_HIGH = _("very high to extreme")


class HeatCategory(StrEnum):
    """Heat index categories of the US National Weather Service, current variant."""

    NONE = _("none")
    CAUTION = _("caution")
    EXTREME_CAUTION = _("extreme caution")
    DANGER = _("danger")
    EXTREME_DANGER = _("extreme danger")


class HumidexBand(StrEnum):
    """Comfort by humidex."""

    LITTLE = _("little or no discomfort")
    SOME = _("some discomfort")
    GREAT = _("great discomfort, avoid exertion")
    DANGEROUS = _("dangerous")


class WindChillBand(StrEnum):
    """Risk by wind chill index, Environment and Climate Change Canada."""

    NONE = _("none")
    LOW = _("low")
    LONG_EXPOSURE = _("low, hypothermia if long")
    SKIN_30_MIN = _("skin freezes in 10 to 30 minutes")
    SKIN_10_MIN = _("skin freezes in 5 to 10 minutes")
    SKIN_5_MIN = _("skin freezes in 2 to 5 minutes")
    SKIN_2_MIN = _("skin freezes in under 2 minutes")


# OSHA heat index guide: moderate from 91 °F, high from 103 °F, very high to extreme above 115 °F (115 itself is high).
HEAT_BANDS_F: tuple[tuple[float, HeatBand], ...] = (
    (103, HeatBand.HIGH),
    (91, HeatBand.MODERATE),
)
VERY_HIGH_ABOVE_F = 115

# National Weather Service, current variant: 80-90, 90-103, 103-124, 125 °F and up. An older one breaks at 105 and 130.
HEAT_CATEGORIES_F: tuple[tuple[float, HeatCategory], ...] = (
    (125, HeatCategory.EXTREME_DANGER),
    (103, HeatCategory.DANGER),
    (90, HeatCategory.EXTREME_CAUTION),
    (80, HeatCategory.CAUTION),
)

# Whole wind chill index at or below which a band begins, coldest first.
WIND_CHILL_BANDS: tuple[tuple[int, WindChillBand], ...] = (
    (-55, WindChillBand.SKIN_2_MIN),
    (-48, WindChillBand.SKIN_5_MIN),
    (-40, WindChillBand.SKIN_10_MIN),
    (-28, WindChillBand.SKIN_30_MIN),
    (-10, WindChillBand.LONG_EXPOSURE),
    (0, WindChillBand.LOW),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Immersion:
    """How long a person lasts in water, from and to minutes; None is "indefinite". It covers hypothermia only."""

    exhaustion_min: tuple[int | None, int | None]
    survival_min: tuple[int | None, int | None]


# Upper bound of water temperature °C (inside the band), time to exhaustion, expected survival. Commonly credited to US
# search-and-rescue sources. Bands share end points in print; the colder band takes them here, which is the careful
# side.
IMMERSION: tuple[tuple[float, Immersion], ...] = (
    (0.3, Immersion(exhaustion_min=(0, 15), survival_min=(0, 45))),
    (4.4, Immersion(exhaustion_min=(15, 30), survival_min=(30, 90))),
    (10.0, Immersion(exhaustion_min=(30, 60), survival_min=(60, 180))),
    (15.6, Immersion(exhaustion_min=(60, 120), survival_min=(60, 360))),
    (21.1, Immersion(exhaustion_min=(120, 420), survival_min=(120, 2400))),
    (26.7, Immersion(exhaustion_min=(180, 720), survival_min=(180, None))),
    (math.inf, Immersion(exhaustion_min=(None, None), survival_min=(None, None))),
)


def fahrenheit(temp_c: float) -> float:
    """°C as °F, without the last digits' noise, so that 32.7777… °C is 91 °F again."""
    return round(temp_c * 9 / 5 + 32, 9)


def celsius(temp_f: float) -> float:
    """°F as °C."""
    return (temp_f - 32) * 5 / 9


def _check(**readings: tuple[float, float, float, str]) -> None:
    faults = Faults()
    for where, (value, low, high, unit) in readings.items():
        faults.range(where, value, low, high, unit)
    faults.raise_any()


def _regression_f(t: float, rh: float) -> float:
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * rh
        - 0.22475541 * t * rh
        - 0.00683783 * t * t
        - 0.05481717 * rh * rh
        + 0.00122874 * t * t * rh
        + 0.00085282 * t * rh * rh
        - 0.00000199 * t * t * rh * rh
    )


def _adjustment_f(t: float, rh: float) -> float:
    if rh < 13 and 80 <= t <= 112:
        return -((13 - rh) / 4) * math.sqrt((17 - abs(t - 95)) / 17)
    if rh > 85 and 80 <= t <= 87:
        return ((rh - 85) / 10) * ((87 - t) / 5)
    return 0.0


def heat_index_c(temp_c: float, rh_percent: float) -> float:
    """Heat index in °C in the shade: Rothfusz, NWS SR 90-23 (1990), with the procedure of the NWS page read literally.

    The mean of the simple formula and the temperature is the answer while it is below 80 °F; from there the
    regression with its adjustments for very dry and very damp air. Published charts show the bare regression, so they
    differ by up to 2 °F where an adjustment applies.

    Raises UnusableInput for a temperature outside ±60 °C or a humidity outside 0 to 100 %.
    """
    _check(temp_c=(temp_c, TEMP_C_MIN, TEMP_C_MAX, "°C"), rh_percent=(rh_percent, 0, 100, "%"))
    t = fahrenheit(temp_c)
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + rh_percent * 0.094)
    mean = (simple + t) / 2
    if mean < 80:
        return celsius(mean)
    return celsius(_regression_f(t, rh_percent) + _adjustment_f(t, rh_percent))


def heat_band(heat_index: float) -> HeatBand:
    """The work-site band of a heat index in °C (OSHA guide):

    moderate from 91 °F, high from 103, very high above 115.
    """
    index_f = fahrenheit(heat_index)
    if index_f > VERY_HIGH_ABOVE_F:
        return HeatBand.VERY_HIGH
    return next((band for from_f, band in HEAT_BANDS_F if index_f >= from_f), HeatBand.LOWER)


def heat_category(heat_index: float) -> HeatCategory:
    """The weather service's category of a heat index in °C, current variant."""
    index_f = fahrenheit(heat_index)
    return next((category for from_f, category in HEAT_CATEGORIES_F if index_f >= from_f), HeatCategory.NONE)


def _vapour_hpa(dew_point_c: float) -> float:
    return VAPOUR_HPA * math.exp(VAPOUR_K * (1 / VAPOUR_BASE_K - 1 / (dew_point_c + ZERO_C_K)))


def dew_point_c(temp_c: float, rh_percent: float) -> float | None:
    """Dew point in °C: where the vapour pressure of humidex's own formula (Masterton and Richardson, 1979) is that of
    the air, its humidity's share of the pressure at its temperature. None for air without any moisture,
    or so little that the dew point is below −60 °C.

    Raises UnusableInput for a temperature outside ±60 °C or a humidity outside 0 to 100 %.
    """
    _check(temp_c=(temp_c, TEMP_C_MIN, TEMP_C_MAX, "°C"), rh_percent=(rh_percent, 0, 100, "%"))
    share = rh_percent / 100
    if share <= 0:  # also of a humidity too small for a hundredth of it to be told from 0
        return None
    inverse_k = 1 / (temp_c + ZERO_C_K) - math.log(share) / VAPOUR_K
    dew_c = min(temp_c, 1 / inverse_k - ZERO_C_K)
    return dew_c if dew_c >= TEMP_C_MIN else None


def humidex(temp_c: float, dew_point_c: float) -> float:
    """Humidex: T + 0.5555 × (e − 10), e from the dew point (Masterton and Richardson, Environment Canada, 1979).

    Raises UnusableInput for readings outside ±60 °C or a dew point above the temperature.
    """
    _check(temp_c=(temp_c, TEMP_C_MIN, TEMP_C_MAX, "°C"), dew_point_c=(dew_point_c, TEMP_C_MIN, temp_c, "°C"))
    return temp_c + 0.5555 * (_vapour_hpa(dew_point_c) - 10)


def humidex_band(value: float) -> HumidexBand:
    """Comfort by humidex: below 30, 30 to 39, 40 to 45, above 45."""
    if value > 45:
        return HumidexBand.DANGEROUS
    if value >= 40:
        return HumidexBand.GREAT
    return HumidexBand.SOME if value >= 30 else HumidexBand.LITTLE


def wind_chill_c(temp_c: float, wind_km_h: float) -> float:
    """Wind chill in °C (NWS and ECCC, 2001): 13.12 + 0.6215 T − 11.37 V^0.16 + 0.3965 T V^0.16.

    Raises UnusableInput where it is not defined: above 10 °C or below 4.8 km/h (limits from memory).
    """
    _check(
        temp_c=(temp_c, TEMP_C_MIN, WIND_CHILL_TEMP_C_MAX, "°C"),
        wind_km_h=(wind_km_h, WIND_CHILL_WIND_KM_H_MIN, WIND_KM_H_MAX, "km/h"),
    )
    gust = math.pow(wind_km_h, 0.16)
    return 13.12 + 0.6215 * temp_c - 11.37 * gust + 0.3965 * temp_c * gust


def wind_chill_band(chill_c: float) -> WindChillBand:
    """Risk by wind chill (ECCC): the index is a whole number, rounded to the nearest, halves to the colder."""
    index = math.ceil(chill_c - 0.5)
    return next((band for at_most, band in WIND_CHILL_BANDS if index <= at_most), WindChillBand.NONE)


def immersion(water_temp_c: float) -> Immersion:
    """How long a person in the water lasts before exhaustion and death by cold, a search-and-rescue table.

    Drowning from cold shock comes first, within 3 to 5 minutes (Transport Canada TP 13822).

    Raises UnusableInput outside −2 to 40 °C.
    """
    _check(water_temp_c=(water_temp_c, WATER_TEMP_C_MIN, WATER_TEMP_C_MAX, "°C"))
    return next(times for up_to_c, times in IMMERSION if water_temp_c <= up_to_c)


def past_the_charts(temp_c: float, rh_percent: float) -> bool:
    """Whether air is so hot that no heat index is claimed: above 112 °F, or an index above the charts' 137 °F.

    Raises UnusableInput as heat_index_c does.
    """
    index_f = fahrenheit(heat_index_c(temp_c, rh_percent))
    return fahrenheit(temp_c) > HEAT_TEMP_F_MAX or index_f > HEAT_INDEX_F_MAX


def index_of(weather: Weather | None) -> float | None:
    """Heat index in °C of a forecast, to choose by; None while temperature or humidity is unknown.

    Past the charts it is no less than the air temperature: very hot air is never taken for mild.
    """
    if weather is None or weather.temp_c is None or weather.rh_percent is None:
        return None
    index = heat_index_c(weather.temp_c, weather.rh_percent)
    return max(index, weather.temp_c) if past_the_charts(weather.temp_c, weather.rh_percent) else index


def cautions(weather: Weather | None) -> tuple[Reason, ...]:
    """What a forecast asks the crew to mind: heat, rest, shade, cold, cold water.

    Readings that are not known are said to be unknown.

    Raises UnusableInput for a reading that cannot be, naming it.
    """
    if weather is None:
        return (reason("weather.unknown"),)
    _check(
        **{
            where: (value, low, high, unit)
            for where, value, low, high, unit in (
                ("temp_c", weather.temp_c, TEMP_C_MIN, TEMP_C_MAX, "°C"),
                ("rh_percent", weather.rh_percent, 0, 100, "%"),
                ("wind_km_h", weather.wind_km_h, 0, WIND_KM_H_MAX, "km/h"),
                ("water_temp_c", weather.water_temp_c, WATER_TEMP_C_MIN, WATER_TEMP_C_MAX, "°C"),
            )
            if value is not None
        }
    )
    return (*_heat_cautions(weather), *_cold_cautions(weather), *_water_cautions(weather))


def _heat_cautions(weather: Weather) -> tuple[Reason, ...]:
    if weather.temp_c is None:
        return (reason("weather.air_unknown"),)
    found = []
    index = index_of(weather)
    if index is None:
        found.append(reason("weather.humidity_unknown"))
    elif weather.rh_percent is not None and past_the_charts(weather.temp_c, weather.rh_percent):
        found.append(reason("weather.heat_past_charts", temp_c=weather.temp_c, rh_percent=weather.rh_percent))
    elif fahrenheit(index) >= HEAT_CATEGORIES_F[-1][0]:
        found.append(
            reason(f"weather.heat_{heat_band(index).name.lower()}", index_c=round(index, 1), sun_adds_c=FULL_SUN_ADDS_C)
        )
    if weather.temp_c >= SHADE_TEMP_C:
        found.append(reason("weather.shade", temp_c=weather.temp_c))
    # Without humidity the air temperature stands for the heat index: hot air is never taken for mild.
    felt_c = weather.temp_c if index is None else max(index, weather.temp_c)
    if felt_c >= TRIGGER_HEAT_INDEX_C:
        found.append(reason("weather.rest", minutes=TRIGGER_REST_MIN, hours=REST_EACH_H))
    return tuple(found)


def _cold_cautions(weather: Weather) -> tuple[Reason, ...]:
    temp_c, wind_km_h = weather.temp_c, weather.wind_km_h
    if temp_c is None or wind_km_h is None:
        return ()
    if temp_c > WIND_CHILL_TEMP_C_MAX or wind_km_h < WIND_CHILL_WIND_KM_H_MIN:
        return ()
    chill = wind_chill_c(temp_c, wind_km_h)
    band = wind_chill_band(chill)
    if band is WindChillBand.NONE:
        return (reason("weather.cool_wind", chill_c=round(chill)),)
    return (reason("weather.cold_wind", chill_c=round(chill), band=band.value),)


def _water_cautions(weather: Weather) -> tuple[Reason, ...]:
    water_c = weather.water_temp_c
    if water_c is None:
        return (reason("weather.water_unknown"),)
    if water_c <= COLD_SHOCK_C:
        return (reason("weather.cold_shock", water_c=water_c, limit_c=COLD_SHOCK_C),)
    if water_c < COLD_WATER_C:
        return (reason("weather.cold_water", water_c=water_c, limit_c=COLD_WATER_C),)
    return ()
