"""What maps show: zones with their depth today, and how their outlines lie to each other."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import OuterRef, QuerySet, Subquery

from reedcrew.people.models import Group
from reedcrew.stands.models import Site, Stand, WaterLevel, Zone
from reedcrew.stands.queries.depths import ZoneDepth, depth_at
from reedcrew.stands.queries.drawing import Drawing, drawing_of
from reedcrew.trade.depth_classes import DepthClass, depth_class
from reedcrew.trade.method import WATER_WORK_DEPTH_CM
from reedcrew.trade.moves import zone_state
from reedcrew.trade.outline import Outline, Placing, outline_from, placing_of
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class MappedZone:
    """A zone as a map shows it. ``number`` stands on the drawing and in the table beside it."""

    number: int
    zone: Zone
    depth: ZoneDepth
    kind: DepthClass
    outline: Outline | None
    centre: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MappedStand:
    """A stand as a map shows it, with its zones and what is odd about where they lie."""

    stand: Stand
    outline: Outline | None
    zones: tuple[MappedZone, ...]
    cautions: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseUp:
    """One site on a sheet of its own."""

    site: Site
    drawing: Drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsMap:
    """The stands of one page of a map and its drawing.

    Where sites lie so far apart that numbers of zones would cover each other, the drawing shows where the sites are,
    and ``close_ups`` show each of them; else there are none.
    """

    stands: tuple[MappedStand, ...]
    drawing: Drawing
    close_ups: tuple[CloseUp, ...] = ()

    @property
    def shallow_cm(self) -> int:
        """Depth in cm up to which water is shallow."""
        return WATER_WORK_DEPTH_CM

    @property
    def zones(self) -> tuple[tuple[MappedStand, MappedZone], ...]:
        return tuple((mapped, zone) for mapped in self.stands for zone in mapped.zones)

    @property
    def cautions(self) -> tuple[Reason, ...]:
        return tuple(caution for mapped in self.stands for caution in mapped.cautions)


def latest_levels(sites: "QuerySet[Site]", at: datetime.datetime) -> "QuerySet[WaterLevel]":
    """The latest level of each of these sites at or before a moment, with its gauge, by the sites' keys."""
    read = WaterLevel.objects.filter(gauge__site=OuterRef("pk"), read_at__lte=at).order_by("-read_at", "-pk")
    latest = sites.order_by().values(latest=Subquery(read.values("pk")[:1]))
    return WaterLevel.objects.filter(pk__in=latest).select_related("gauge").order_by("gauge__site")


def kind_of(zone: Zone, depth: ZoneDepth, policy: Policy) -> DepthClass:
    """What a zone is on the map at this depth."""
    return depth_class(zone_state(zone.name, depth.depth_cm, float(zone.current_m_s), policy))


def stored_outline(row: Site | Stand | Zone) -> Outline | None:
    """The outline of a row, or None where it has none."""
    return outline_from(row.outline) if row.outline else None


def placings_of(stand: Outline | None, zones: Sequence[tuple[str, Outline]]) -> tuple[Placing, ...]:
    """How each zone of a stand lies to it and to the zones before it, so that each overlap is told once."""
    return tuple(
        placing_of(name, outline, stand=stand, others=dict(zones[:number]))
        for number, (name, outline) in enumerate(zones)
    )


def stands_map(stands: Iterable[Stand], policy: Policy, at: datetime.datetime, sites: Iterable[Site] = ()) -> StandsMap:
    """The map of these stands, which come with their sites, and of sites without any. Two queries."""
    known = list(stands)
    by_stand: dict[int, list[Zone]] = {}
    for zone in Zone.objects.filter(stand__in=known):
        by_stand.setdefault(zone.stand_id, []).append(zone)
    of_sites = Site.objects.filter(pk__in={stand.site_id for stand in known})
    levels = {level.gauge.site_id: level for level in latest_levels(of_sites, at)}
    number = 0
    mapped = []
    for stand in known:
        zones = []
        for zone in by_stand.get(stand.pk, ()):
            number += 1
            zones.append(_mapped(number, depth_at(zone, levels.get(stand.site_id)), policy))
        drawn = [(one.zone.name, one.outline) for one in zones if one.outline is not None]
        outline = stored_outline(stand)
        cautions = tuple(said for placing in placings_of(outline, drawn) for said in placing.reasons)
        mapped.append(MappedStand(stand=stand, outline=outline, zones=tuple(zones), cautions=cautions))
    places = {site.pk: site for site in [*sites, *(stand.site for stand in known)]}
    drawing = _drawing(places.values(), mapped)
    if len(places) == 1 or not drawing.is_crowded:
        return StandsMap(stands=tuple(mapped), drawing=drawing)
    of_site = {pk: [one for one in mapped if one.stand.site_id == pk] for pk in places}
    return StandsMap(
        stands=tuple(mapped),
        drawing=_drawing(places.values(), ()),
        close_ups=tuple(
            CloseUp(site=site, drawing=_drawing([site], of_site[pk])) for pk, site in places.items() if of_site[pk]
        ),
    )


def _drawing(sites: Iterable[Site], stands: Iterable[MappedStand]) -> Drawing:
    shown = list(stands)
    return drawing_of(
        sites=[(site.name, site.position, stored_outline(site)) for site in sites],
        stands=[(one.stand.name, one.outline) for one in shown if one.outline is not None],
        zones=[
            (str(zone.number), zone.kind.value, zone.outline)
            for one in shown
            for zone in one.zones
            if zone.outline is not None
        ],
    )


def stand_map(stand: Stand, policy: Policy, at: datetime.datetime) -> StandsMap:
    """The map on a stand's page; the stand comes with its site."""
    return stands_map([stand], policy, at)


def stands_on_map(group: Group) -> "QuerySet[Stand]":
    """The stands of a group in the order of its map's table."""
    return Stand.objects.of_group(group).select_related("site", "site__group").order_by("site__name", "name", "pk")


def _mapped(number: int, depth: ZoneDepth, policy: Policy) -> MappedZone:
    zone = depth.zone
    outline = stored_outline(zone)
    centre = ""
    if outline is not None:
        longitude, latitude = outline.centre
        centre = f"{latitude:.6f}, {longitude:.6f}"
    kind = kind_of(zone, depth, policy)
    return MappedZone(number=number, zone=zone, depth=depth, kind=kind, outline=outline, centre=centre)
