"""A map as a drawing that needs no script: outlines in metres on a sheet, with a bar for the scale. North is up."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from reedcrew.trade.outline import EARTH, Outline, Position
from reedcrew.trade.outline.shapes import near_longitude

WIDTH, HEIGHT = 480, 380  # units of the drawing's own; the page scales it to its width
MARGIN = 48  # on each side: room for names, the arrow and the bar
SPAN_M_MIN = 60  # m; a single place is shown with this much around it
NUMBER_RADIUS = 11  # of the disc below a zone's number
BAR_SHARE = 0.3  # of the width that the bar may take at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """An outline on the sheet: its path, what it is, and where its name or number stands."""

    kind: str
    label: str
    path: str
    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A place on the sheet with its name."""

    label: str
    x: float
    y: float
    leftwards: bool  # the name stands left of a place in the right half, so that it is not cut off


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """The bar of the scale: so many metres are so many units."""

    metres: int
    width: float

    @property
    def text(self) -> str:
        return f"{self.metres // 1000} km" if self.metres >= 1000 else f"{self.metres} m"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Everything on the sheet. ``extent`` is south, west, north, east in degrees; empty where there is nothing."""

    sites: tuple[Mark, ...]
    boundaries: tuple[Shape, ...]
    stands: tuple[Shape, ...]
    zones: tuple[Shape, ...]
    bar: Bar
    extent: tuple[float, ...]
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def bar_y(self) -> int:
        """Where the bar lies."""
        return self.height - MARGIN // 4

    @property
    def number_radius(self) -> int:
        """Of the discs below the numbers of zones."""
        return NUMBER_RADIUS

    @property
    def is_empty(self) -> bool:
        return not (self.sites or self.zones or self.stands)

    @property
    def is_crowded(self) -> bool:
        """Whether numbers of zones cover each other."""
        return any(
            math.dist((one.x, one.y), (two.x, two.y)) < 2 * NUMBER_RADIUS for one, two in combinations(self.zones, 2)
        )


class _Sheet:
    """Degrees to units: local metres around a middle, true in scale there (equirectangular), y downwards."""

    def __init__(self, positions: Sequence[Position]) -> None:
        near = positions[0][0]
        longitudes = [near_longitude(lon, near) for lon, _ in positions]
        latitudes = [lat for _, lat in positions]
        self.extent = (min(latitudes), min(longitudes), max(latitudes), max(longitudes))
        south, west, north, east = self.extent
        self.lon, self.lat = (west + east) / 2, (south + north) / 2
        step = 0.001  # degree; short enough to be straight
        self.m_lon = float(EARTH.inv(self.lon, self.lat, self.lon + step, self.lat)[2]) / step
        below, above = max(self.lat - step / 2, -90), min(self.lat + step / 2, 90)
        self.m_lat = float(EARTH.inv(self.lon, below, self.lon, above)[2]) / (above - below)
        across_m = max((east - west) * self.m_lon, SPAN_M_MIN)
        along_m = max((north - south) * self.m_lat, SPAN_M_MIN)
        self.scale = min((WIDTH - 2 * MARGIN) / across_m, (HEIGHT - 2 * MARGIN) / along_m)  # units per metre

    def at(self, position: Position) -> tuple[float, float]:
        lon, lat = position
        x = WIDTH / 2 + (near_longitude(lon, self.lon) - self.lon) * self.m_lon * self.scale
        y = HEIGHT / 2 - (lat - self.lat) * self.m_lat * self.scale
        return round(x, 1), round(y, 1)

    def shape(self, kind: str, label: str, outline: Outline) -> Shape:
        rings = [[self.at(position) for position in ring[:-1]] for part in outline.parts for ring in part.rings]
        path = " ".join("M" + " L".join(f"{x} {y}" for x, y in ring) + " Z" for ring in rings)
        x, y = self.at(outline.centre)
        return Shape(kind=kind, label=label, path=path, x=x, y=y)

    def mark(self, label: str, position: Position) -> Mark:
        x, y = self.at(position)
        return Mark(label=label, x=x, y=y, leftwards=x > WIDTH / 2)

    @property
    def bar(self) -> Bar:
        most_m = WIDTH * BAR_SHARE / self.scale
        power = 10 ** math.floor(math.log10(most_m))
        metres = max(step * power for step in (1, 2, 5) if step * power <= most_m)
        return Bar(metres=max(1, round(metres)), width=round(max(1, round(metres)) * self.scale, 1))


def drawing_of(
    *,
    sites: Sequence[tuple[str, Position, Outline | None]],
    stands: Sequence[tuple[str, Outline]],
    zones: Sequence[tuple[str, str, Outline]],
) -> Drawing:
    """The drawing of sites (name, position, boundary), stands (name, outline) and zones (label, kind, outline)."""
    outlines = [outline for _, outline in stands] + [outline for *_, outline in zones]
    outlines += [boundary for *_, boundary in sites if boundary is not None]
    positions = [position for outline in outlines for position in outline.positions]
    positions += [position for _, position, _ in sites]
    if not positions:
        return Drawing(sites=(), boundaries=(), stands=(), zones=(), bar=Bar(metres=10, width=100), extent=())
    sheet = _Sheet(positions)
    return Drawing(
        sites=tuple(sheet.mark(name, position) for name, position, _ in sites),
        boundaries=tuple(sheet.shape("boundary", name, boundary) for name, _, boundary in sites if boundary),
        stands=tuple(sheet.shape("stand", name, outline) for name, outline in stands),
        # The larger lies lower, so that none hides another.
        zones=tuple(
            sheet.shape(kind, label, outline)
            for label, kind, outline in sorted(zones, key=lambda zone: -zone[2].area_m2)
        ),
        bar=sheet.bar,
        extent=sheet.extent,
    )
