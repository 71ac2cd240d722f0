"""Where to put quadrats: random positions inside an outline, the same for a seed; and how far outside one lies."""

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pyproj import Transformer
from shapely import Point, transform
from shapely.geometry import shape
from shapely.geometry.base import BaseGeometry

from reedcrew.trade.errors import Faults
from reedcrew.trade.outline import EARTH, Position
from reedcrew.trade.reasons import Reason, reason

# A phone's position under open sky is off by 5 m or so, more beside trees (convention): within this much outside the
# outline a quadrat is taken as inside.
GPS_TOLERANCE_M = 10
PLACES_MAX = 200  # what a crew can count in one survey (convention)
APART_M_MAX = 1_000
SEED_MAX = 2**31 - 1
DECIMALS = 6  # about 10 cm (RFC 7946, 11.2)
TRIES_EACH = 500  # drawn positions for each one wanted, before fewer are given


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One position in the order of the walk. ``from_m`` and ``bearing_deg`` lead there from the one before.

    Longitude and latitude in degrees with 6 decimals; metres on the ground; degrees clockwise from true north.
    """

    number: int
    longitude: float
    latitude: float
    from_m: float
    bearing_deg: float

    @property
    def coordinates(self) -> str:
        """Latitude and longitude in degrees, as people read them."""
        return f"{self.latitude:.6f}, {self.longitude:.6f}"

    @property
    def geo_uri(self) -> str:
        """The place as an address that map programs open (RFC 5870: latitude first)."""
        return f"geo:{self.latitude:.6f},{self.longitude:.6f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Positions for quadrats, as many as found room, and why."""

    places: tuple[Place, ...]
    reasons: tuple[Reason, ...]


def random_places(
    outline: Mapping[str, object], count: int, *, seed: int, start: Position, apart_m: float = 0
) -> Placement:
    """Positions spread evenly over the area inside a GeoJSON Polygon or MultiPolygon, drawn by chance from a seed.

    Drawn on an equal-area plane about the outline's middle (Lambert azimuthal), so that each square metre has the same
    chance. ``apart_m`` keeps positions at least so far from each other. They come in the order of a walk that goes on
    to the nearest each time, from ``start`` (longitude, latitude). The same arguments give the same positions.

    Where they find no room, fewer come, with a reason. Raises UnusableInput for a count outside 1 to 200, a seed
    outside 0 to 2147483647, or a distance outside 0 to 1000 m.
    """
    faults = Faults()
    faults.range("count", count, 1, PLACES_MAX)
    faults.range("seed", seed, 0, SEED_MAX)
    faults.range("apart_m", apart_m, 0, APART_M_MAX, "m")
    faults.raise_any()
    plane = _Plane(outline)
    corner, along, across = _frame(plane.polygon)
    chance = random.Random(seed)  # noqa: S311  # repeatable on purpose, and no secret
    drawn: list[Position] = []
    spots: list[tuple[float, float]] = []
    for _ in range(count * TRIES_EACH):
        if len(drawn) == count:
            break
        u, v = chance.random(), chance.random()
        position = plane.position(corner[0] + u * along[0] + v * across[0], corner[1] + u * along[1] + v * across[1])
        spot = plane.spot(position)  # where the rounded position lies
        if plane.polygon.contains(Point(spot)) and all(math.dist(spot, other) >= apart_m for other in spots):
            drawn.append(position)
            spots.append(spot)
    reasons = [reason("sampling.placed", seed=seed)]
    if len(drawn) < count:
        reasons.append(reason("sampling.placed_fewer", placed=len(drawn), wanted=count))
    return Placement(places=_walk(drawn, start), reasons=tuple(reasons))


def metres_outside(outline: Mapping[str, object], positions: Sequence[Position]) -> tuple[float, ...]:
    """How far in metres each (longitude, latitude) position lies outside a GeoJSON Polygon or MultiPolygon.

    0 inside and on its edge.
    """
    plane = _Plane(outline)
    return tuple(float(plane.polygon.distance(Point(plane.spot(position)))) for position in positions)


class _Plane:
    """An outline on a flat map in metres about its own middle, which keeps areas true."""

    def __init__(self, outline: Mapping[str, object]) -> None:
        degrees = shape(outline)
        middle = degrees.centroid
        self._to_plane = Transformer.from_crs(
            "EPSG:4326", f"+proj=laea +lat_0={middle.y} +lon_0={middle.x} +datum=WGS84 +units=m", always_xy=True
        )
        self.polygon = transform(degrees, self._to_plane.transform, interleaved=False)

    def spot(self, position: Position) -> tuple[float, float]:
        """Metres east and north of the middle."""
        east, north = self._to_plane.transform(*position)
        return float(east), float(north)

    def position(self, east: float, north: float) -> Position:
        """Longitude and latitude, rounded to 6 decimals."""
        lon, lat = self._to_plane.transform(east, north, direction="INVERSE")
        return round(float(lon), DECIMALS), round(float(lat), DECIMALS)


def _frame(polygon: BaseGeometry) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """A corner and two sides of the narrowest rectangle around: little is drawn in vain, however a strip lies."""
    first, second, _third, fourth = list(polygon.minimum_rotated_rectangle.exterior.coords)[:4]
    return (
        (first[0], first[1]),
        (second[0] - first[0], second[1] - first[1]),
        (fourth[0] - first[0], fourth[1] - first[1]),
    )


def _walk(positions: Sequence[Position], start: Position) -> tuple[Place, ...]:
    left, here = list(positions), start
    places: list[Place] = []
    while left:
        legs = [EARTH.inv(*here, *each) for each in left]
        nearest = min(range(len(left)), key=lambda each: (legs[each][2], each))
        bearing, _back, metres = legs[nearest]
        here = left.pop(nearest)
        places.append(
            Place(
                number=len(places) + 1,
                longitude=here[0],
                latitude=here[1],
                from_m=float(metres),
                bearing_deg=float(bearing) % 360,
            )
        )
    return tuple(places)
