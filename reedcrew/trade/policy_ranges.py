"""How far a group may move each of its values. The ranges are conventions of this project, on the side of safety.

No published limit is passed: the wading factor never goes under 1 (the published product of depth and current), nobody
counts as experienced without a water day, and a person under 18 never goes deeper than half a metre.
"""

import calendar
import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import get_type_hints

from reedcrew.trade.errors import Faults, UnusableInput
from reedcrew.trade.policy import Policy
from reedcrew.trade.season import MonthDay, Window, default_window


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Lowest and highest value of a number, both allowed, in the unit that the value's name says."""

    low: float
    high: float


RANGES: Mapping[str, Range] = MappingProxyType(
    {
        "sun_days": Range(low=7, high=90),
        "water_days_min": Range(low=1, high=20),
        "minor_depth_cm_max": Range(low=0, high=50),
        "wading_depth_cm_max": Range(low=30, high=120),
        "wading_stature_share": Range(low=0.2, high=0.6),
        "wading_safety_factor": Range(low=1, high=10),
        "units_per_spotter": Range(low=1, high=10),
        "headcount_minutes": Range(low=5, high=60),
        "seasoned_water_days": Range(low=1, high=50),
        "spare_tool_every": Range(low=1, high=20),
        "water_stems_per_hour": Range(low=1, high=2000),
        "land_stems_per_hour": Range(low=1, high=2000),
        "private_months": Range(low=6, high=60),
        "mail_months": Range(low=6, high=120),
        "look_months": Range(low=12, high=120),
        "gone_percent": Range(low=0.1, high=10),
    }
)


NEST_CHECK_UNTIL_MIN = MonthDay(
    8, 1
)  # the general nesting period may last to late August; never much less (convention)


def check(policy: Policy) -> None:
    """Accept a policy whose values all lie in their ranges and whose two days exist.

    Raises UnusableInput with one fault for each faulty value, named as in Policy.
    """
    faults = Faults()
    kinds = get_type_hints(Policy)
    for name in (field.name for field in dataclasses.fields(Policy)):
        value, kind = getattr(policy, name), kinds[name]
        if kind is MonthDay:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float):
            faults.unless(False, name, "must be a number")
        elif kind is int and value % 1 != 0:
            faults.unless(False, name, f"must be a whole number, not {value:g}")
        else:
            faults.range(name, value, RANGES[name].low, RANGES[name].high)
    try:
        default_window(policy)
    except UnusableInput as error:
        for fault in error.faults:
            faults.unless(False, f"window_{fault.where}", fault.message)
    try:
        Window(opens=NEST_CHECK_UNTIL_MIN, closes=policy.nest_check_until)
    except UnusableInput as error:
        faults.unless(False, "nest_check_until", error.faults[0].message)
    else:
        faults.unless(
            policy.nest_check_until >= NEST_CHECK_UNTIL_MIN,
            "nest_check_until",
            f"must not lie before {calendar.month_name[NEST_CHECK_UNTIL_MIN.month]}",
        )
    faults.raise_any()
