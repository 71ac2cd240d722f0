"""What a zone is to a crew at one depth, and what changes for them when the water moves: rules 3 to 5, H6 and H7."""

from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.method import is_water_work
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.water import wading_verdict


class Ground(StrEnum):
    """What people stand in. The edge between shallow and deep is that of water work (rule 5)."""

    DRY = "dry"
    SHALLOW = "shallow water"
    DEEP = "water work"


class Closing(StrEnum):
    """Why nobody may enter the water of a zone."""

    OPEN = "open"
    TOO_DEEP = "too deep to wade"
    CURRENT = "closed by the current"


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneState:
    """A zone on a day: its depth in whole centimetres, what people stand in, and whether anyone may."""

    zone: str
    depth_cm: int
    ground: Ground
    closing: Closing

    @property
    def is_open(self) -> bool:
        return self.closing is Closing.OPEN


def zone_state(zone: str, depth_cm: int, current_m_s: float | None, policy: Policy) -> ZoneState:
    """What a zone of this depth is: dry at 0 cm, water work over 30 cm (rule 5), closed by H6 or H7.

    ``current_m_s`` is None where it is unknown: water is then closed. Raises UnusableInput for a depth outside 0 to
    1000 cm or a current outside 0 to 10 m/s.
    """
    wet = Ground.DEEP if is_water_work(depth_cm) else Ground.SHALLOW
    ground = wet if depth_cm > 0 else Ground.DRY
    wading = wading_verdict(depth_cm, current_m_s, policy)
    if depth_cm > policy.wading_depth_cm_max:
        closing = Closing.TOO_DEEP
    else:
        closing = Closing.OPEN if wading.open or ground is Ground.DRY else Closing.CURRENT
    return ZoneState(zone=zone, depth_cm=depth_cm, ground=ground, closing=closing)


# Method and gear follow the ground (rules 4 and 5), so that every change of ground has a sentence of its own.
_GROUND_CODES = {
    (Ground.SHALLOW, Ground.DEEP): "moves.spade_to_cutter",
    (Ground.DRY, Ground.DEEP): "moves.dry_to_cutter",
    (Ground.DEEP, Ground.SHALLOW): "moves.cutter_to_spade",
    (Ground.DEEP, Ground.DRY): "moves.cutter_to_dry",
    (Ground.DRY, Ground.SHALLOW): "moves.dry_to_shallow",
    (Ground.SHALLOW, Ground.DRY): "moves.shallow_to_dry",
}
_CLOSING_CODES = {
    Closing.TOO_DEEP: "moves.now_too_deep",
    Closing.CURRENT: "moves.now_closed_by_current",
    Closing.OPEN: "moves.now_open",
}


def what_changes(before: ZoneState, after: ZoneState) -> tuple[Reason, ...]:
    """What a crew must know of a zone that was planned as ``before`` and is now ``after``; nothing where it is alike.

    A depth that moves within one ground changes neither method nor gear and is left to the plan.
    """
    values: dict[str, str | int] = {"zone": after.zone, "before_cm": before.depth_cm, "after_cm": after.depth_cm}
    found = []
    if before.ground is not after.ground:
        found.append(reason(_GROUND_CODES[before.ground, after.ground], **values))
    if before.closing is not after.closing:
        found.append(reason(_CLOSING_CODES[after.closing], **values))
    return tuple(found)
