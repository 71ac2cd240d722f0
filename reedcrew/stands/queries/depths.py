"""Depth of zones at a moment."""

import datetime
from dataclasses import dataclass

from reedcrew.stands.models import Stand, WaterLevel, Zone
from reedcrew.trade.moves import ZoneState, zone_state
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason
from reedcrew.trade.water import DepthToday, depth_today


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneDepth:
    """A zone with its depth at a moment. ``level`` is the reading that decided it, None where none did."""

    zone: Zone
    depth: DepthToday
    level: WaterLevel | None

    @property
    def depth_cm(self) -> int:
        return self.depth.depth_cm

    @property
    def reason(self) -> Reason:
        return self.depth.reason


def latest_level(site_id: int, at: datetime.datetime) -> WaterLevel | None:
    """The latest reading at a site at or before a moment, with its gauge."""
    levels = WaterLevel.objects.filter(gauge__site=site_id, read_at__lte=at).select_related("gauge")
    return levels.order_by("-read_at", "-pk").first()


def depths_today(stand: Stand, at: datetime.datetime) -> tuple[ZoneDepth, ...]:
    """Depth of every zone of a stand at a moment, from the latest gauge level at or before it (design, rule 3).

    A level counts for a zone only if the zone was surveyed at the same gauge. Zones in the order of their names; two
    queries, however many zones. ``level.read_at`` says how old the level is.
    """
    level = latest_level(stand.site_id, at)
    return tuple(depth_at(zone, level) for zone in stand.zones.all())


def zone_states(stand: Stand, policy: Policy, at: datetime.datetime) -> dict[int, ZoneState]:
    """What each zone of a stand is to a crew at a moment, by its key. Two queries, however many zones."""
    return {
        known.zone.pk: zone_state(known.zone.name, known.depth_cm, float(known.zone.current_m_s), policy)
        for known in depths_today(stand, at)
    }


def depth_at(zone: Zone, level: WaterLevel | None) -> ZoneDepth:
    """Depth of a zone by the latest level of its site, which comes with its gauge; None where nobody has read one."""
    if level is None or zone.gauge_cm is None:
        depth = depth_today(zone.depth_cm, zone.gauge_cm, level.level_cm if level else None)
        return ZoneDepth(zone=zone, depth=depth, level=None)
    if level.gauge.serves(zone.surveyed_on):
        depth = depth_today(zone.depth_cm, zone.gauge_cm, level.level_cm)
        return ZoneDepth(zone=zone, depth=depth, level=level)
    # A survey that came after this gauge was taken at a later one, which nobody has read yet.
    replaced = zone.surveyed_on < level.gauge.since
    today_cm = level.level_cm if replaced else None
    return ZoneDepth(
        zone=zone, depth=depth_today(zone.depth_cm, zone.gauge_cm, today_cm, gauge_replaced=replaced), level=None
    )
