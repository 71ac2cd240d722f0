"""What a forecast feels like: heat index, humidex and wind chill, each only where its formula holds.

Where it does not, there is no number and the reason says why. Formulas and their sources: trade.weather.
"""

from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.day import Weather
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.weather import (
    HEAT_INDEX_F_MIN,
    HUMIDEX_TEMP_C_MIN,
    WIND_CHILL_TEMP_C_MAX,
    WIND_CHILL_WIND_KM_H_MIN,
    HeatBand,
    HeatCategory,
    celsius,
    dew_point_c,
    fahrenheit,
    heat_band,
    heat_category,
    heat_index_c,
    humidex,
    humidex_band,
    past_the_charts,
    wind_chill_band,
    wind_chill_c,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Felt:
    """One index of a forecast. ``value_c`` is None where none is claimed; ``band`` says in words what it means."""

    value_c: float | None
    band: StrEnum | None
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class FeltHeat:
    """The heat index with its work-site band and the weather service's category, both None while it is unknown."""

    value_c: float | None
    band: HeatBand | None
    category: HeatCategory | None
    reason: Reason


def felt_heat(weather: Weather) -> FeltHeat:
    """The heat index of a forecast, where it is given: from 80 °F up to the end of the printed charts.

    Past the charts the highest band and category hold without a number. Raises UnusableInput for a reading that cannot
    be.
    """
    temp_c, rh_percent = weather.temp_c, weather.rh_percent
    if temp_c is None or rh_percent is None:
        return FeltHeat(value_c=None, band=None, category=None, reason=reason("felt.heat_unknown"))
    if past_the_charts(temp_c, rh_percent):
        because = reason("weather.heat_past_charts", temp_c=temp_c, rh_percent=rh_percent)
        return FeltHeat(value_c=None, band=HeatBand.VERY_HIGH, category=HeatCategory.EXTREME_DANGER, reason=because)
    index = heat_index_c(temp_c, rh_percent)
    if fahrenheit(index) < HEAT_INDEX_F_MIN:
        because = reason("felt.heat_mild", limit_c=round(celsius(HEAT_INDEX_F_MIN), 1))
        return FeltHeat(value_c=None, band=HeatBand.LOWER, category=HeatCategory.NONE, reason=because)
    because = reason("felt.heat", temp_c=temp_c, rh_percent=rh_percent)
    return FeltHeat(value_c=index, band=heat_band(index), category=heat_category(index), reason=because)


def felt_humidex(weather: Weather) -> Felt:
    """Humidex from air temperature and humidity, for air of 20 °C and more (Environment Canada, from memory).

    Raises UnusableInput for a reading that cannot be.
    """
    temp_c, rh_percent = weather.temp_c, weather.rh_percent
    if temp_c is None or rh_percent is None:
        return Felt(value_c=None, band=None, reason=reason("felt.humidex_unknown"))
    dew_c = dew_point_c(temp_c, rh_percent)
    if dew_c is None:
        return Felt(value_c=None, band=None, reason=reason("felt.humidex_dry"))
    if temp_c < HUMIDEX_TEMP_C_MIN:
        return Felt(value_c=None, band=None, reason=reason("felt.humidex_cool", limit_c=HUMIDEX_TEMP_C_MIN))
    value = humidex(temp_c, dew_c)
    because = reason("felt.humidex", temp_c=temp_c, dew_point_c=round(dew_c, 1))
    return Felt(value_c=value, band=humidex_band(value), reason=because)


def felt_wind(weather: Weather) -> Felt:
    """Wind chill, where it is defined: at or below 10 °C and from 4.8 km/h (from memory).

    Raises UnusableInput for a reading that cannot be.
    """
    temp_c, wind_km_h = weather.temp_c, weather.wind_km_h
    if temp_c is None or wind_km_h is None:
        return Felt(value_c=None, band=None, reason=reason("felt.chill_unknown"))
    if temp_c > WIND_CHILL_TEMP_C_MAX:
        return Felt(value_c=None, band=None, reason=reason("felt.chill_warm", limit_c=WIND_CHILL_TEMP_C_MAX))
    if wind_km_h < WIND_CHILL_WIND_KM_H_MIN:
        return Felt(value_c=None, band=None, reason=reason("felt.chill_calm", limit_km_h=WIND_CHILL_WIND_KM_H_MIN))
    value = wind_chill_c(temp_c, wind_km_h)
    because = reason("felt.chill", temp_c=temp_c, wind_km_h=wind_km_h)
    return Felt(value_c=value, band=wind_chill_band(value), reason=because)
