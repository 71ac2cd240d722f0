"""The outline of a zone on the map: reading a GeoJSON polygon (RFC 7946), judging it, and its area on the ellipsoid.

Clauses of RFC 7946 (read in the working group's final text; clause numbers from memory): positions are longitude,
latitude (3.1.1); a ring has four or more positions and ends where it starts, the exterior runs counter-clockwise and
holes clockwise (3.1.6); a line over the 180th meridian is cut in two (3.1.9).
"""

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

from pyproj import Geod
from shapely import Polygon
from shapely.geometry.polygon import orient
from shapely.validation import explain_validity

from reedcrew.trade.errors import Fault, UnusableInput
from reedcrew.trade.reasons import Reason, Value, reason

Position = tuple[float, float]  # longitude, latitude in degrees, WGS 84
Ring = tuple[Position, ...]  # closed: the last position is the first

RING_POSITIONS_MIN = 4  # RFC 7946, 3.1.6
LATITUDE_MAX, LONGITUDE_MAX = 90, 180
HALF_TURN = 180  # a ring wider than this was drawn across the 180th meridian
FAR_KM = 50  # a zone lies near the meeting place of its site; farther is a slip (convention)
DECIMALS = 7  # about a centimetre; RFC 7946, 11.2 says that more only swells files
AREA_M2_MIN = 1  # less is a line or a slip (convention)
TEXT_LENGTH_MAX = 200_000  # characters of pasted text (convention); an outline drawn by hand has a few thousand
EARTH = Geod(ellps="WGS84")


class UnusableOutline(UnusableInput):
    """Text that is no outline of a zone. ``problem`` says what is wrong with it and what would be right."""

    def __init__(self, problem: Reason) -> None:
        self.problem = problem
        super().__init__([Fault(where="outline", message=problem.text)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A polygon: the exterior ring counter-clockwise, holes clockwise, all closed. ``area_m2`` is without the holes."""

    exterior: Ring
    holes: tuple[Ring, ...]
    area_m2: float

    @property
    def geojson(self) -> dict[str, object]:
        """The polygon as an RFC 7946 geometry object."""
        rings = (self.exterior, *self.holes)
        return {"type": "Polygon", "coordinates": [[list(position) for position in ring] for ring in rings]}


def ring_area_m2(ring: Sequence[Position]) -> float:
    """Area in m² inside a closed or open ring of (longitude, latitude) degrees on the WGS 84 ellipsoid, never negative.

    Edges are geodesics (Karney 2013, as computed by pyproj); for the short edges of a zone they are the straight
    lines of RFC 7946 to far less than the accuracy of any survey.
    """
    area_m2, _perimeter_m = EARTH.polygon_area_perimeter([lon for lon, _ in ring], [lat for _, lat in ring])
    return abs(float(area_m2))


def distance_km(one: Position, other: Position) -> float:
    """Length in km of the geodesic between two (longitude, latitude) positions on the WGS 84 ellipsoid."""
    _there, _back, metres = EARTH.inv(*one, *other)
    return float(metres) / 1000


def read_outline(text: str, *, site: Position) -> Outline:
    """Read pasted GeoJSON: a Polygon, a Feature with one, or a FeatureCollection with exactly one.

    ``site`` is (longitude, latitude) of the zone's site. Winding is put right, heights are dropped, positions are
    rounded to 7 decimals. Raises UnusableOutline, whose ``problem`` names what is wrong: text that is not JSON,
    another kind of geometry, a ring that is open, short, empty or crosses itself, positions that are no longitude and
    latitude, that look swapped, or that lie more than 50 km from the site (convention).
    """
    rings = [_ring(entry) for entry in _coordinates(_parsed(text))]
    if not rings:
        _refuse("outline.empty")
    _refuse_misplaced(rings, site)
    polygon = Polygon(rings[0], rings[1:])
    if not polygon.is_valid:
        _refuse_shape(polygon)
    wound = orient(polygon)
    exterior, *holes = (_as_ring(ring.coords) for ring in (wound.exterior, *wound.interiors))
    area_m2 = ring_area_m2(exterior) - sum(ring_area_m2(hole) for hole in holes)
    if area_m2 < AREA_M2_MIN:
        _refuse("outline.flat", least=AREA_M2_MIN)
    return Outline(exterior=exterior, holes=tuple(holes), area_m2=area_m2)


def _refuse(code: str, **values: Value) -> NoReturn:
    raise UnusableOutline(reason(code, **values))


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number of JSON")


def _parsed(text: str) -> Any:
    if len(text) > TEXT_LENGTH_MAX:
        _refuse("outline.long", limit=TEXT_LENGTH_MAX)
    try:
        return json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise UnusableOutline(reason("outline.not_json")) from error


def _coordinates(found: Any) -> list[Any]:
    """The list of rings of the one Polygon in the parsed text."""
    if isinstance(found, dict) and found.get("type") == "FeatureCollection":
        features = found.get("features")
        count = len(features) if isinstance(features, list) else 0
        if not isinstance(features, list) or count != 1:
            _refuse("outline.features", count=count)
        found = features[0]
    if isinstance(found, dict) and found.get("type") == "Feature":
        found = found.get("geometry")
    kind = found.get("type") if isinstance(found, dict) else None
    if not isinstance(found, dict) or kind != "Polygon":
        _refuse("outline.not_polygon", kind=kind if isinstance(kind, str) and kind else "?")
    rings = found.get("coordinates")
    if not isinstance(rings, list):
        _refuse("outline.empty")
    return rings


def _ring(entry: Any) -> Ring:
    if not isinstance(entry, list):
        _refuse("outline.empty")
    ring = tuple(_position(position) for position in entry)
    if len(ring) < RING_POSITIONS_MIN:
        _refuse("outline.short", count=len(ring), least=RING_POSITIONS_MIN)
    if ring[0] != ring[-1]:
        _refuse("outline.open", first=_text(ring[0]), last=_text(ring[-1]))
    return ring


def _position(entry: Any) -> Position:
    if not isinstance(entry, list) or len(entry) < 2:
        _refuse("outline.position", position=_shown(entry))
    lon, lat = entry[:2]  # a third number is a height, which an outline does not need
    for value in (lon, lat):
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= 10**6:
            _refuse("outline.position", position=_shown(entry))
    return round(float(lon), DECIMALS), round(float(lat), DECIMALS)


def _shown(entry: Any) -> str:
    text = json.dumps(entry)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _text(position: Position) -> str:
    return f"[{position[0]:g}, {position[1]:g}]"


def _in_range(lon: float, lat: float) -> bool:
    return abs(lon) <= LONGITUDE_MAX and abs(lat) <= LATITUDE_MAX


def _refuse_misplaced(rings: Sequence[Ring], site: Position) -> None:
    positions = [position for ring in rings for position in ring]
    swapped = [(lat, lon) for lon, lat in positions]
    swapped_fit = _all_near(swapped, site)
    for lon, lat in positions:
        if not _in_range(lon, lat):
            _refuse("outline.swapped" if swapped_fit else "outline.out_of_range", position=_text((lon, lat)))
    longitudes = [lon for lon, _ in rings[0]]
    if max(longitudes) - min(longitudes) > HALF_TURN:
        _refuse("outline.across_180")
    if _all_near(positions, site):
        return
    farthest = max(positions, key=lambda position: distance_km(position, site))
    if swapped_fit:
        _refuse("outline.swapped", position=_text(farthest))
    away_km = math.ceil(distance_km(farthest, site))
    _refuse("outline.far", position=_text(farthest), away_km=away_km, limit_km=FAR_KM)


def _all_near(positions: Sequence[Position], site: Position) -> bool:
    return all(_in_range(*position) and distance_km(position, site) <= FAR_KM for position in positions)


def _refuse_shape(polygon: Polygon) -> NoReturn:
    if polygon.convex_hull.area == 0:
        _refuse("outline.flat", least=AREA_M2_MIN)
    # GEOS names the fault and where it is: "Self-intersection[-76.5 44.2]".
    fault, _, place = explain_validity(polygon).partition("[")
    position = ", ".join(place.rstrip("]").split())
    if fault in {"Self-intersection", "Ring Self-intersection"} and not len(polygon.interiors):
        _refuse("outline.crosses_itself", position=f"[{position}]")
    _refuse("outline.holes", position=f"[{position}]")


def _as_ring(coordinates: Any) -> Ring:
    return tuple((float(lon), float(lat)) for lon, lat in coordinates)
