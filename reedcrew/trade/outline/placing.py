"""How the outline of a zone lies to that of its stand and to the other zones."""

from collections.abc import Mapping
from dataclasses import dataclass

from reedcrew.trade.outline.shapes import Outline, shape_area_m2, unwrapped
from reedcrew.trade.reasons import Reason, reason

SLACK_M2 = 1  # m²; less is what two hands draw differently along one line (convention)


def outside_m2(zone: Outline, stand: Outline) -> float:
    """Area in m² on the ellipsoid of the part of the zone that lies outside the stand."""
    near = stand.positions[0][0]
    return shape_area_m2(unwrapped(zone, near).difference(unwrapped(stand, near)))


def shared_m2(one: Outline, other: Outline) -> float:
    """Area in m² on the ellipsoid that two outlines have in common."""
    near = one.positions[0][0]
    return shape_area_m2(unwrapped(one, near).intersection(unwrapped(other, near)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Where a zone lies. ``wholly_outside`` its stand it cannot be right; the reasons also tell what only looks odd."""

    wholly_outside: bool
    reasons: tuple[Reason, ...]


def placing_of(name: str, zone: Outline, *, stand: Outline | None, others: Mapping[str, Outline]) -> Placing:
    """Whether a zone lies wholly or partly outside its stand, or over another zone (by name), and by how much.

    Less than 1 m² is passed over (convention).
    """
    outside = False
    reasons = []
    if stand is not None:
        outside = shared_m2(zone, stand) < min(SLACK_M2, zone.area_m2 / 2)
        beyond = outside_m2(zone, stand)
        if outside:
            reasons.append(reason("outline.outside", name=name))
        elif beyond >= SLACK_M2:
            percent = max(1, round(100 * beyond / zone.area_m2))
            reasons.append(reason("outline.partly_outside", name=name, area_m2=round(beyond), percent=percent))
    for other_name, other in others.items():
        over = shared_m2(zone, other)
        if over >= SLACK_M2:
            reasons.append(reason("outline.overlaps", name=name, other=other_name, area_m2=round(over)))
    return Placing(wholly_outside=outside, reasons=tuple(reasons))
