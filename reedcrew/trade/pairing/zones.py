"""Which zones may be entered today, by what kind of work."""

from reedcrew.trade.day import Day, Zone
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.water import wading_verdict


def closure(zone: Zone, policy: Policy) -> tuple[Reason, ...]:
    """Why nobody may enter a zone today; empty for an open zone.

    A zone takes nobody if it takes no units (H9), if depth × current reaches the wading limit (H7), or if it is deeper
    than the group lets anyone wade (H6). Dry land (depth 0) can only be closed by H9.

    Raises UnusableInput for a depth or current that cannot be.
    """
    found: list[Reason] = []
    if zone.units_max <= 0:
        found.append(reason("H9.closed", zone=zone.name))
    if zone.depth_cm > 0:
        verdict = wading_verdict(zone.depth_cm, zone.current_m_s, policy)
        if not verdict.open:
            found.extend(verdict.reasons)
        if zone.depth_cm > policy.wading_depth_cm_max:
            found.append(reason("H6.zone", depth_cm=zone.depth_cm, limit_cm=policy.wading_depth_cm_max))
    return tuple(found)


def open_water(day: Day) -> tuple[Zone, ...]:
    """Open zones with any water (depth over 0), from the shallowest to the deepest, then by name."""
    return tuple(
        sorted(
            (zone for zone in day.zones if zone.depth_cm > 0 and not closure(zone, day.policy)),
            key=lambda zone: (zone.depth_cm, zone.name),
        )
    )


def open_land(day: Day) -> tuple[Zone, ...]:
    """Open dry zones, those with the most stems first, then by name."""
    return tuple(
        sorted(
            (zone for zone in day.zones if zone.depth_cm <= 0 and not closure(zone, day.policy)),
            key=lambda zone: (-zone.stems, zone.name),
        )
    )
