"""What an outline is: polygons of (longitude, latitude) on WGS 84, their area on the ellipsoid, how they are written.

Clauses of RFC 7946 (read in the working group's final text; clause numbers from memory): positions are longitude,
latitude (3.1.1); a ring has four or more positions and ends where it starts, the exterior runs counter-clockwise and
holes clockwise (3.1.6); a line over the 180th meridian is cut in two (3.1.9).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pyproj import Geod
from shapely import MultiPolygon, Polygon
from shapely.geometry.polygon import orient

from reedcrew.trade.errors import Fault, UnusableInput
from reedcrew.trade.reasons import Reason

Position = tuple[float, float]  # longitude, latitude in degrees, WGS 84
Ring = tuple[Position, ...]  # closed: the last position is the first

LATITUDE_MAX, LONGITUDE_MAX = 90, 180
FULL_TURN = 360
DECIMALS = 6  # about 10 cm; RFC 7946, 11.2 says that more only swells files
EARTH = Geod(ellps="WGS84")


class UnusableOutline(UnusableInput):
    """Text that is no outline. ``problem`` says what is wrong with it and what would be right."""

    def __init__(self, problem: Reason) -> None:
        self.problem = problem
        super().__init__([Fault(where="outline", message=problem.text)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One polygon: the exterior ring counter-clockwise, holes clockwise, all closed, positions of 6 decimals."""

    exterior: Ring
    holes: tuple[Ring, ...] = ()

    @property
    def rings(self) -> tuple[Ring, ...]:
        return (self.exterior, *self.holes)

    @property
    def area_m2(self) -> float:
        """Area in m² on the ellipsoid without the holes."""
        return ring_area_m2(self.exterior) - sum(ring_area_m2(hole) for hole in self.holes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """One or more polygons that do not overlap. None crosses the 180th meridian."""

    parts: tuple[Part, ...]

    @property
    def area_m2(self) -> float:
        """Area in m² on the ellipsoid without the holes."""
        return sum(part.area_m2 for part in self.parts)

    @property
    def positions(self) -> tuple[Position, ...]:
        """Every position of every ring."""
        return tuple(position for part in self.parts for ring in part.rings for position in ring)

    @property
    def geojson(self) -> dict[str, Any]:
        """The outline as an RFC 7946 geometry object: a Polygon, or a MultiPolygon where it has several parts."""
        polygons = [[[list(position) for position in ring] for ring in part.rings] for part in self.parts]
        if len(polygons) == 1:
            return {"type": "Polygon", "coordinates": polygons[0]}
        return {"type": "MultiPolygon", "coordinates": polygons}

    @property
    def corner_lines(self) -> str:
        """The corners, one a line as "latitude, longitude"; empty where lines cannot say it (holes, several parts)."""
        if len(self.parts) != 1 or self.parts[0].holes:
            return ""
        return "\n".join(f"{lat:.{DECIMALS}f}, {lon:.{DECIMALS}f}" for lon, lat in self.parts[0].exterior[:-1])

    @property
    def centre(self) -> Position:
        """Longitude and latitude of a place inside: the middle where that is inside, else the next best."""
        shape = unwrapped(self)
        inside = shape.centroid if shape.contains(shape.centroid) else shape.representative_point()
        return wrapped_longitude(float(inside.x)), round(float(inside.y), DECIMALS)

    @property
    def radius_m(self) -> float:
        """Metres from the centre to the farthest corner: a circle so wide holds the whole outline."""
        return max(distance_km(self.centre, position) for position in self.positions) * 1000


def outline_from(geometry: Mapping[str, Any]) -> Outline:
    """The outline whose ``geojson`` was stored. Not for anything that people enter: nothing is checked."""
    several = geometry["type"] == "MultiPolygon"
    polygons = geometry["coordinates"] if several else [geometry["coordinates"]]
    return Outline(parts=tuple(_part([_ring(ring) for ring in rings]) for rings in polygons))


def outline_of_shape(shape: Polygon | MultiPolygon) -> Outline:
    """The outline of a planar shape in degrees, wound as RFC 7946 (3.1.6) wants it."""
    polygons = shape.geoms if isinstance(shape, MultiPolygon) else [shape]
    wound = [orient(polygon) for polygon in polygons]
    return Outline(parts=tuple(_part([_ring(ring.coords) for ring in (p.exterior, *p.interiors)]) for p in wound))


def ring_area_m2(ring: Sequence[Position]) -> float:
    """Area in m² inside a closed or open ring of (longitude, latitude) degrees on the WGS 84 ellipsoid, never negative.

    Edges are geodesics (Karney 2013, as computed by pyproj); for the short edges of a zone they are the straight
    lines of RFC 7946 to far less than the accuracy of any survey.
    """
    area_m2, _perimeter_m = EARTH.polygon_area_perimeter([lon for lon, _ in ring], [lat for _, lat in ring])
    return abs(float(area_m2))


def shape_area_m2(shape: Any) -> float:
    """Area in m² on the ellipsoid of a planar shape in degrees; of lines and points 0."""
    polygons = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon) and not part.is_empty]
    return sum(
        ring_area_m2(list(polygon.exterior.coords)) - sum(ring_area_m2(list(hole.coords)) for hole in polygon.interiors)
        for polygon in polygons
    )


def distance_km(one: Position, other: Position) -> float:
    """Length in km of the geodesic between two (longitude, latitude) positions on the WGS 84 ellipsoid."""
    _there, _back, metres = EARTH.inv(*one, *other)
    return float(metres) / 1000


def near_longitude(lon: float, near: float) -> float:
    """The same meridian, counted so that it is at most half a turn from ``near``: 179 beside -179 is -181."""
    return lon + FULL_TURN * round((near - lon) / FULL_TURN)


def wrapped_longitude(lon: float) -> float:
    """The same meridian from -180 to 180, with 6 decimals."""
    return round(near_longitude(lon, 0), DECIMALS) if abs(lon) > LONGITUDE_MAX else round(lon, DECIMALS)


def unwrapped(outline: Outline, near: float | None = None) -> Polygon | MultiPolygon:
    """The outline as one planar shape in degrees whose longitudes lie around ``near`` or else its first position."""
    middle = outline.positions[0][0] if near is None else near
    polygons = []
    for part in outline.parts:
        exterior, *holes = ([(near_longitude(lon, middle), lat) for lon, lat in ring] for ring in part.rings)
        polygons.append(Polygon(exterior, holes))
    return polygons[0] if len(polygons) == 1 else MultiPolygon(polygons).buffer(0)


def _part(rings: Sequence[Ring]) -> Part:
    return Part(exterior=rings[0], holes=tuple(rings[1:]))


def _ring(positions: Any) -> Ring:
    return tuple((float(lon), float(lat)) for lon, lat, *_height in positions)
