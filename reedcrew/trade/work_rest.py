"""Work and rest in heat: the NIOSH table.

It holds for people who are fit, rested, hydrated and under 40 years, in 30 % humidity and moving air. Source: NIOSH,
Heat Stress: Work/Rest Schedules, from Criteria 2016-106. The corrections for sun and humidity are from memory. Advice
for a crew lead, not a limit that makes work safe: older, younger or unwell people need more rest.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.weather import TEMP_C_MAX, TEMP_C_MIN, fahrenheit
from reedcrew.trade.words import gettext_noop as _

MINUTES_PER_HOUR = 60


class Effort(StrEnum):
    """How hard the work is."""

    LIGHT = _("light")
    MODERATE = _("moderate")
    HEAVY = _("heavy")


class Sky(StrEnum):
    """How much sun falls on the crew."""

    SHADE = _("in the shade")
    PARTLY_CLOUDY = _("partly cloudy")
    FULL_SUN = _("full sun")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRest:
    """Minutes of work in each hour, and why. 60 is normal work; 0 means: do not work now."""

    work_min: int
    reason: Reason

    @property
    def rest_min(self) -> int:
        """Minutes of rest in each hour."""
        return MINUTES_PER_HOUR - self.work_min


# Lower bound of the adjusted temperature in whole °F; minutes of work an hour for light, moderate and heavy work. 60 is
# printed as "normal", 0 as "caution: high levels of heat stress".
TABLE_F: tuple[tuple[int, int, int, int], ...] = (
    (111, 0, 0, 0),
    (110, 15, 0, 0),
    (109, 30, 0, 0),
    (108, 35, 0, 0),
    (107, 40, 15, 0),
    (106, 45, 20, 0),
    (105, 60, 25, 15),
    (103, 60, 30, 20),
    (102, 60, 35, 25),
    (101, 60, 40, 30),
    (100, 60, 45, 30),
    (98, 60, 60, 35),
    (97, 60, 60, 40),
    (95, 60, 60, 45),
)
SUN_ADDS_F: dict[Sky, int] = {Sky.SHADE: 0, Sky.PARTLY_CLOUDY: 7, Sky.FULL_SUN: 13}  # from memory
# Relative humidity from which a correction holds, and °F (from memory). Between printed values the damper one is
# taken, and above 60 % the table has none: the heat index decides there.
HUMIDITY_ADDS_F: tuple[tuple[float, int], ...] = ((10, -8), (20, -4), (30, 0), (40, 3), (50, 6), (60, 9))


def adjusted_temp_f(temp_c: float, rh_percent: float, sky: Sky) -> int:
    """Air temperature in whole °F, rounded up, corrected for sun and humidity before the table is read (from memory).

    Above 60 % humidity the correction for 60 % stands.

    Raises UnusableInput for a temperature outside ±60 °C or a humidity outside 0 to 100 %.
    """
    faults = Faults()
    faults.range("temp_c", temp_c, TEMP_C_MIN, TEMP_C_MAX, "°C")
    faults.range("rh_percent", rh_percent, 0, 100, "%")
    faults.raise_any()
    damp = next((adds for up_to, adds in HUMIDITY_ADDS_F if rh_percent <= up_to), HUMIDITY_ADDS_F[-1][1])
    return math.ceil(fahrenheit(temp_c)) + SUN_ADDS_F[sky] + damp


def work_rest(temp_c: float, rh_percent: float, sky: Sky, effort: Effort) -> WorkRest:
    """Minutes of work and rest in each hour by air temperature, humidity, sun and effort. Cutting reed is heavy work.

    Raises UnusableInput as adjusted_temp_f does.
    """
    adjusted_f = adjusted_temp_f(temp_c, rh_percent, sky)
    column = 1 + tuple(Effort).index(effort)
    work_min = next((row[column] for row in TABLE_F if adjusted_f >= row[0]), MINUTES_PER_HOUR)
    if work_min == MINUTES_PER_HOUR:
        because = reason("work_rest.normal", effort=effort.value)
    elif work_min == 0:
        because = reason("work_rest.stop", effort=effort.value)
    else:
        because = reason("work_rest.rest", effort=effort.value, work=work_min, rest=MINUTES_PER_HOUR - work_min)
    return WorkRest(work_min=work_min, reason=because)
