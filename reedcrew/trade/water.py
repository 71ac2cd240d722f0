"""Depth today, and whether people may wade in it: rule 3, H6 and H7 of the design."""

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from reedcrew.trade.errors import Faults
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

# Depth × current at which even a strong adult should not wade: depth (ft) × velocity (ft/s) = 10. The rule was read
# in a public page; that the US Geological Survey uses it is from memory.
WADING_PRODUCT_M2_S = 0.929
WADING_PRODUCT_PLACES = 3  # the limit is printed with three decimals, so products are compared with three

# What an entry can mean; outside it is a slip of the pen (convention).
DEPTH_CM_MAX = 1000
GAUGE_CM_MAX = 10_000
CURRENT_M_S_MAX = 10
STATURE_CM_MIN, STATURE_CM_MAX = 50, 250


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthToday:
    """Depth of a zone today in whole centimetres, rounded up, never below 0, and how it is known."""

    depth_cm: int
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class WadingVerdict:
    """Whether depth and current leave a zone open (H7), and why."""

    open: bool
    reasons: tuple[Reason, ...]


def _rounded_up(value: Fraction) -> int:
    # A part of a centimetre over a limit is over the limit.
    return math.ceil(value)


def _exact(value: float) -> Fraction:
    # 110.2 means 110.2, not the nearest binary fraction: the gauge difference must not gain a centimetre by
    # representation.
    return Fraction(str(value))


def depth_today(
    surveyed_depth_cm: float,
    gauge_at_survey_cm: float | None,
    gauge_today_cm: float | None,
    *,
    gauge_replaced: bool = False,
) -> DepthToday:
    """Depth today = surveyed depth + (gauge today − gauge at the survey): rule 3 of the design.

    All in cm; gauge levels may be negative (below the gauge's zero). If either gauge level is unknown, the surveyed
    depth stands and the reason says so, as it does where ``gauge_replaced`` says that the two levels have not the same
    zero. The result is rounded up to whole centimetres and never below 0.

    Raises UnusableInput for a surveyed depth outside 0 to 1000 cm or a gauge level beyond ±10 000 cm.
    """
    faults = Faults()
    faults.range("surveyed_depth_cm", surveyed_depth_cm, 0, DEPTH_CM_MAX, "cm")
    for where, level in (("gauge_at_survey_cm", gauge_at_survey_cm), ("gauge_today_cm", gauge_today_cm)):
        if level is not None:
            faults.range(where, level, -GAUGE_CM_MAX, GAUGE_CM_MAX, "cm")
    faults.raise_any()

    surveyed = _exact(surveyed_depth_cm)
    surveyed_cm = _rounded_up(surveyed)
    if gauge_at_survey_cm is None and gauge_today_cm is None:
        return DepthToday(depth_cm=surveyed_cm, reason=reason("water.no_gauge", depth_cm=surveyed_cm))
    if gauge_at_survey_cm is None:
        return DepthToday(depth_cm=surveyed_cm, reason=reason("water.no_gauge_at_survey", depth_cm=surveyed_cm))
    if gauge_today_cm is None:
        return DepthToday(depth_cm=surveyed_cm, reason=reason("water.no_gauge_today", depth_cm=surveyed_cm))
    if gauge_replaced:
        return DepthToday(depth_cm=surveyed_cm, reason=reason("water.gauge_replaced", depth_cm=surveyed_cm))
    depth_cm = max(0, _rounded_up(surveyed + _exact(gauge_today_cm) - _exact(gauge_at_survey_cm)))
    return DepthToday(
        depth_cm=depth_cm,
        reason=reason(
            "water.depth_by_gauge",
            depth_cm=depth_cm,
            surveyed_cm=surveyed_depth_cm,
            at_survey_cm=gauge_at_survey_cm,
            today_cm=gauge_today_cm,
        ),
    )


@lru_cache(maxsize=256)
def wading_limit_cm(stature_cm: int, policy: Policy) -> int:
    """Deepest water one person may enter (H6), in whole cm rounded down.

    The lesser of ``policy.wading_depth_cm_max`` and ``policy.wading_stature_share`` of stature. Both are conventions
    of the design, stricter than the one published limit seen for minors, "less than chest deep" (10 NYCRR 7-2.11(a)).

    Raises UnusableInput for a stature outside 50 to 250 cm.
    """
    faults = Faults()
    faults.range("stature_cm", stature_cm, STATURE_CM_MIN, STATURE_CM_MAX, "cm")
    faults.raise_any()
    return min(policy.wading_depth_cm_max, math.floor(_exact(policy.wading_stature_share) * stature_cm))


def wading_verdict(depth_cm: float, current_m_s: float | None, policy: Policy) -> WadingVerdict:
    """Whether depth × current is under the wading limit (H7): 0.929 m²/s over ``policy.wading_safety_factor``.

    The boundary closes, and so does water of unknown current (None). A still wetland has product 0 at any depth, so
    this is never the only limit: H6 stands beside it. The limit is the "rule of ten" (ft × ft/s) of US stream gauging,
    seen in one public page only.

    Raises UnusableInput for a depth outside 0 to 1000 cm or a current outside 0 to 10 m/s.
    """
    faults = Faults()
    faults.range("depth_cm", depth_cm, 0, DEPTH_CM_MAX, "cm")
    if current_m_s is not None:
        faults.range("current_m_s", current_m_s, 0, CURRENT_M_S_MAX, "m/s")
    faults.raise_any()

    if current_m_s is None:
        return WadingVerdict(open=depth_cm <= 0, reasons=(reason("H7.unknown"),))
    product = depth_cm / 100 * current_m_s
    is_open = round(product * policy.wading_safety_factor, WADING_PRODUCT_PLACES) < WADING_PRODUCT_M2_S
    because = reason(
        "water.wading_open" if is_open else "H7",
        product_m2_s=round(product, 3),
        limit_m2_s=round(WADING_PRODUCT_M2_S / policy.wading_safety_factor, 3),
    )
    return WadingVerdict(open=is_open, reasons=(because,))
