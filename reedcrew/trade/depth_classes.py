"""The four kinds of zone that a map tells apart, by depth today and whether anybody may wade there."""

from enum import StrEnum

from reedcrew.trade.method import is_water_work
from reedcrew.trade.policy import Policy
from reedcrew.trade.water import wading_verdict


class DepthClass(StrEnum):
    """What a zone is on the map."""

    DRY = "dry"
    SHALLOW = "shallow"  # up to 30 cm
    DEEP = "deep"  # water work
    CLOSED = "closed"  # nobody wades here at this depth or current


def depth_class(depth_cm: float, current_m_s: float | None, policy: Policy) -> DepthClass:
    """The kind of a zone with this depth today and current: rules 3 to 5, H6 and H7 of the design.

    Deeper than ``policy.wading_depth_cm_max``, or closed by its current or by one that is unknown: closed. Raises
    UnusableInput for a depth outside 0 to 1000 cm or a current outside 0 to 10 m/s.
    """
    if depth_cm > policy.wading_depth_cm_max or not wading_verdict(depth_cm, current_m_s, policy).open:
        return DepthClass.CLOSED
    if is_water_work(depth_cm):
        return DepthClass.DEEP
    return DepthClass.SHALLOW if depth_cm > 0 else DepthClass.DRY
