"""Sunrise and sunset at a site, the polar cases included, and whether work stays within daylight."""

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import astral
from astral import sun

from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason

SUN_AT_HORIZON_DEGREES = -0.8333  # the sun's centre 50 arcminutes below the horizon (US Naval Observatory)


class SunState(StrEnum):
    """What the sun does on a day."""

    RISES_AND_SETS = "rises and sets"
    UP_ALL_DAY = "up all day"
    DOWN_ALL_DAY = "down all day"
    GRAZES = "only rises or only sets"


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTimes:
    """Sun times of one day in the site's time zone, aware; None where the event does not happen on that day."""

    state: SunState
    dawn: datetime.datetime | None
    sunrise: datetime.datetime | None
    sunset: datetime.datetime | None
    dusk: datetime.datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DaylightVerdict:
    """Whether hours lie within daylight, and why."""

    within: bool
    reasons: tuple[Reason, ...]


def sun_times(latitude: float, longitude: float, day: datetime.date, zone: datetime.tzinfo) -> SunTimes:
    """Civil dawn (6° below), sunrise, sunset and civil dusk at sea level on a site's day.

    Computed by astral: within 1.5 minutes of the US Naval Observatory up to 52° of latitude, 3 minutes up to 65°;
    nearer the poles only the state is reliable.

    Raises UnusableInput for a latitude outside ±90° or a longitude outside ±180°.
    """
    faults = Faults()
    faults.range("latitude", latitude, -90, 90, "°")
    faults.range("longitude", longitude, -180, 180, "°")
    faults.raise_any()
    observer = astral.Observer(latitude=latitude, longitude=longitude)
    sunrise = _event(sun.sunrise, observer, day, zone)
    sunset = _event(sun.sunset, observer, day, zone)
    return SunTimes(
        state=_state(observer, sunrise, sunset, day, zone),
        dawn=_event(sun.dawn, observer, day, zone),
        sunrise=sunrise,
        sunset=sunset,
        dusk=_event(sun.dusk, observer, day, zone),
    )


def _event(
    ask: Callable[..., datetime.datetime], observer: astral.Observer, day: datetime.date, zone: datetime.tzinfo
) -> datetime.datetime | None:
    try:
        return ask(observer, date=day, tzinfo=zone)
    except ValueError:
        # astral's word for "the sun does not cross this angle on this day".
        return None


def _state(
    observer: astral.Observer,
    sunrise: datetime.datetime | None,
    sunset: datetime.datetime | None,
    day: datetime.date,
    zone: datetime.tzinfo,
) -> SunState:
    if sunrise is not None and sunset is not None:
        return SunState.RISES_AND_SETS
    if sunrise is not None or sunset is not None:
        return SunState.GRAZES
    highest = sun.elevation(observer, sun.noon(observer, date=day, tzinfo=zone))
    return SunState.UP_ALL_DAY if highest > SUN_AT_HORIZON_DEGREES else SunState.DOWN_ALL_DAY


def within_daylight(start: datetime.datetime, end: datetime.datetime, times: SunTimes) -> DaylightVerdict:
    """Whether work from ``start`` to ``end`` (aware) lies between sunrise and sunset of ``times``."""
    if times.state is SunState.UP_ALL_DAY:
        return DaylightVerdict(within=True, reasons=(reason("daylight.up_all_day"),))
    if times.state is SunState.DOWN_ALL_DAY:
        return DaylightVerdict(within=False, reasons=(reason("daylight.down_all_day"),))
    found = []
    if times.sunrise is not None and start < times.sunrise:
        found.append(reason("daylight.before_sunrise", sunrise=_clock(times.sunrise)))
    if times.sunset is not None and end > times.sunset:
        found.append(reason("daylight.after_sunset", sunset=_clock(times.sunset)))
    if found:
        return DaylightVerdict(within=False, reasons=tuple(found))
    return DaylightVerdict(within=True, reasons=(reason("daylight.within"),))


def _clock(moment: datetime.datetime) -> str:
    return f"{moment:%H:%M}"
