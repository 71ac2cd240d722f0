"""Sites, stands and zones of a group as a GeoJSON FeatureCollection (RFC 7946), feature by feature."""

import datetime
import json
from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import chain
from typing import Any

from reedcrew.people.models import Group
from reedcrew.stands.models import Site, Stand, WaterLevel, Zone
from reedcrew.stands.queries.depths import depth_at
from reedcrew.stands.queries.map import kind_of, latest_levels
from reedcrew.trade.outline import outline_from
from reedcrew.trade.policy import Policy

MEDIA_TYPE = "application/geo+json"  # RFC 7946, 12
ROWS_AT_ONCE = 20  # fetched from the database together: what is kept in memory, whatever the group has

Feature = dict[str, Any]


def features(
    group: Group, policy: Policy, at: datetime.datetime, *, site: int | None = None, stand: int | None = None
) -> Iterator[Feature]:
    """Every site, boundary, stand and zone of a group, or of one of its sites or stands, with depths of a moment.

    Four queries however many rows; rows are fetched a few at a time. What has no outline comes with the geometry
    null, which RFC 7946 (3.2) has for what is not placed.
    """
    sites = Site.objects.of_group(group).order_by("pk")
    stands = Stand.objects.of_group(group).select_related("site").order_by("pk")
    zones = Zone.objects.filter(stand__site__group=group).select_related("stand", "stand__site")
    if site is not None:
        sites, stands, zones = sites.filter(pk=site), stands.filter(site=site), zones.filter(stand__site=site)
    if stand is not None:
        sites, stands, zones = sites.filter(stands=stand), stands.filter(pk=stand), zones.filter(stand=stand)
    ordered = zones.order_by("stand__site", "pk").iterator(ROWS_AT_ONCE)
    levels = latest_levels(sites, at).iterator(ROWS_AT_ONCE)
    return chain(
        chain.from_iterable(_of_site(row) for row in sites.iterator(ROWS_AT_ONCE)),
        (_of_stand(row) for row in stands.iterator(ROWS_AT_ONCE)),
        (_of_zone(row, level, policy) for row, level in _with_level(ordered, levels)),
    )


def collection_text(found: Iterable[Feature]) -> Iterator[str]:
    """The text of a FeatureCollection, a line for each feature, so that it can be sent as it is made."""
    yield '{"type": "FeatureCollection", "features": ['
    before = "\n"
    for feature in found:
        yield before + json.dumps(feature, ensure_ascii=False, allow_nan=False)
        before = ",\n"
    yield "\n]}\n"


def _with_level(zones: Iterator[Zone], levels: Iterator[WaterLevel]) -> Iterator[tuple[Zone, WaterLevel | None]]:
    """Each zone with its site's latest level; both come in the order of the sites, so that neither is kept."""
    level = next(levels, None)
    for zone in zones:
        while level is not None and level.gauge.site_id < zone.stand.site_id:
            level = next(levels, None)
        yield zone, level if level is not None and level.gauge.site_id == zone.stand.site_id else None


def _feature(key: str, geometry: dict[str, Any] | None, **properties: Any) -> Feature:
    return {"type": "Feature", "id": key, "geometry": geometry, "properties": properties}


def _geometry(row: Site | Stand | Zone) -> dict[str, Any] | None:
    return outline_from(row.outline).geojson if row.outline else None


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _of_site(site: Site) -> Iterator[Feature]:
    point = {"type": "Point", "coordinates": list(site.position)}
    yield _feature(f"site-{site.pk}", point, kind="site", name=site.name, meeting_place=site.meeting_place)
    if site.outline:
        yield _feature(
            f"boundary-{site.pk}", _geometry(site), kind="boundary", name=site.name, area_m2=_number(site.area_m2)
        )


def _of_stand(stand: Stand) -> Feature:
    return _feature(
        f"stand-{stand.pk}",
        _geometry(stand),
        kind="stand",
        name=stand.name,
        site=stand.site.name,
        identification=stand.identification,
        first_cut_year=stand.first_cut_year,
        area_m2=_number(stand.area_m2),
    )


def _of_zone(zone: Zone, level: WaterLevel | None, policy: Policy) -> Feature:
    depth = depth_at(zone, level)
    return _feature(
        f"zone-{zone.pk}",
        _geometry(zone),
        kind="zone",
        name=zone.name,
        stand=zone.stand.name,
        site=zone.stand.site.name,
        depth_cm=zone.depth_cm,
        surveyed_on=zone.surveyed_on.isoformat(),
        gauge_cm=zone.gauge_cm,
        current_m_s=float(zone.current_m_s),
        bed=zone.bed,
        stems=zone.stems,
        units_max=zone.units_max,
        area_m2=_number(zone.area_m2),
        depth_today_cm=depth.depth_cm,
        depth_class=kind_of(zone, depth, policy).value,
    )
