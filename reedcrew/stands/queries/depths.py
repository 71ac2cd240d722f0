"""Depth of zones at a moment."""

import datetime
from dataclasses import dataclass

from reedcrew.stands.models import Stand, WaterLevel, Zone
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
    """The latest reading of a site's gauge at or before a moment."""
    return WaterLevel.objects.filter(site=site_id, read_at__lte=at).order_by("-read_at", "-pk").first()


def depths_today(stand: Stand, at: datetime.datetime) -> tuple[ZoneDepth, ...]:
    """Depth of every zone of a stand at a moment, from the latest gauge level at or before it (design, rule 3).

    Zones in the order of their names; two queries, however many zones. ``level.read_at`` says how old the level is.
    """
    level = latest_level(stand.site_id, at)
    return tuple(_depth(zone, level) for zone in stand.zones.all())


def _depth(zone: Zone, level: WaterLevel | None) -> ZoneDepth:
    depth = depth_today(zone.depth_cm, zone.gauge_cm, level.level_cm if level else None)
    return ZoneDepth(zone=zone, depth=depth, level=level if zone.gauge_cm is not None else None)
