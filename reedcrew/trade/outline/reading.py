"""Reading an outline that people enter: GeoJSON, or corners one a line. What is none is refused with its cause."""

import json
import math
import re
from collections.abc import Sequence
from typing import Any, NoReturn

import shapely
from shapely import MultiPolygon, Polygon, box
from shapely.validation import explain_validity

from reedcrew.trade.outline.shapes import (
    DECIMALS,
    FULL_TURN,
    LATITUDE_MAX,
    LONGITUDE_MAX,
    Outline,
    Position,
    Ring,
    UnusableOutline,
    distance_km,
    near_longitude,
    outline_of_shape,
)
from reedcrew.trade.reasons import Value, reason

RING_POSITIONS_MIN = 4  # RFC 7946, 3.1.6
CORNERS_MIN = RING_POSITIONS_MIN - 1  # a list of corners does not repeat the first
FAR_KM = 50  # an outline lies near the meeting place of its site; farther is a slip (convention)
AREA_M2_MIN = 1  # less is a line or a slip (convention)
TEXT_LENGTH_MAX = 200_000  # characters of pasted text (convention); an outline drawn by hand has a few thousand
NUMBER_MAX = 10**6  # no coordinate has more; a greater number is not worked with
SHOWN_LENGTH = 60  # characters of a faulty value that a sentence repeats

# A corner: two numbers, latitude first as on a phone's screen, each with an optional letter for the half of the globe.
_NUMBER = r"([+-]?\d{1,7}(?:\.\d{1,20})?)\s*°?\s*"
_CORNER = re.compile(rf"{_NUMBER}([NSns]?)(?:\s*[,;]\s*|\s+|(?<=[NSns])){_NUMBER}([EWew]?)", re.ASCII)

_HALF_CHARACTER = re.compile(r"\\u[dD][89a-fA-F]")


def read_outline(text: str, *, site: Position) -> Outline:
    """Read what was pasted or drawn: GeoJSON, or corners one a line as "latitude, longitude".

    GeoJSON is a Polygon or MultiPolygon, a Feature with one, or a FeatureCollection with exactly one. ``site`` is
    (longitude, latitude) of the site. Winding is put right, heights are dropped, positions are rounded to 6 decimals,
    an outline over the 180th meridian is cut there (RFC 7946, 3.1.9). Raises UnusableOutline, whose ``problem`` names
    what is wrong: text that is neither, another kind of geometry, a ring that is open, short, empty or crosses itself,
    positions that are no longitude and latitude, that look swapped, or that lie more than 50 km from the site
    (convention).
    """
    if len(text) > TEXT_LENGTH_MAX:
        _refuse("outline.long", limit=TEXT_LENGTH_MAX)
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    if any(_CORNER.fullmatch(line) for _, line in lines):
        return _outline_of([[_corners(lines, site)]], site)
    return read_geometry(_geometry(_parsed(text)), site=site)


def read_geometry(found: Any, *, site: Position) -> Outline:
    """Read a parsed GeoJSON geometry, as read_outline reads its text. Raises UnusableOutline."""
    kind = found.get("type") if isinstance(found, dict) else None
    if not isinstance(found, dict) or kind not in ("Polygon", "MultiPolygon"):
        _refuse("outline.not_polygon", kind=kind if isinstance(kind, str) and kind else "?")
    coordinates = found.get("coordinates")
    polygons = [coordinates] if kind == "Polygon" else coordinates
    if not isinstance(polygons, list) or not polygons or not all(isinstance(one, list) and one for one in polygons):
        _refuse("outline.empty")
    rings = [[_ring(entry) for entry in polygon] for polygon in polygons]
    _refuse_misplaced(rings, site, "outline")
    return _outline_of(rings, site)


def parse_json(text: str) -> Any:
    """What a text of JSON says. Raises ValueError for any other text, for too deep nesting, NaN and half characters.

    An escape may name half of a pair of UTF-16 (RFC 8259, 8.2; from memory), which no page and no table can hold.
    """
    try:
        found = json.loads(text, parse_constant=_no_number)
        if _HALF_CHARACTER.search(text):
            json.dumps(found, ensure_ascii=False).encode()  # UnicodeEncodeError is a ValueError
    except RecursionError as error:
        raise ValueError("nested too deeply") from error
    return found


def _refuse(code: str, **values: Value) -> NoReturn:
    raise UnusableOutline(reason(code, **values))


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number of JSON")


def _parsed(text: str) -> Any:
    try:
        return parse_json(text)
    except ValueError as error:
        raise UnusableOutline(reason("outline.not_json")) from error


def _geometry(found: Any) -> Any:
    """The one geometry in the parsed text."""
    if isinstance(found, dict) and found.get("type") == "FeatureCollection":
        features = found.get("features")
        count = len(features) if isinstance(features, list) else 0
        if not isinstance(features, list) or count != 1:
            _refuse("outline.features", count=count)
        found = features[0]
    if isinstance(found, dict) and found.get("type") == "Feature":
        found = found.get("geometry")
    return found


def _corners(lines: Sequence[tuple[int, str]], site: Position) -> Ring:
    """The closed ring of corners that were given one a line, latitude first."""
    ring: list[Position] = []
    for number, line in lines:
        match = _CORNER.fullmatch(line)
        if match is None:
            _refuse("corners.line", line=number, text=_shortened(line))
        lat, south, lon, west = match.groups()
        ring.append((_signed(lon, west), _signed(lat, south)))
    if len(ring) > 1 and ring[0] == ring[-1]:
        ring.pop()
    if len(ring) < CORNERS_MIN:
        _refuse("corners.short", count=len(ring), least=CORNERS_MIN)
    closed = (*ring, ring[0])
    _refuse_misplaced([[closed]], site, "corners")
    return closed


def _signed(number: str, letter: str) -> float:
    value = round(float(number), DECIMALS)
    return -value if letter.lower() in {"s", "w"} else value


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
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= NUMBER_MAX:
            _refuse("outline.position", position=_shown(entry))
    return round(float(lon), DECIMALS), round(float(lat), DECIMALS)


def _shown(entry: Any) -> str:
    return _shortened(json.dumps(entry))


def _shortened(text: str) -> str:
    return text if len(text) <= SHOWN_LENGTH else f"{text[: SHOWN_LENGTH - 3]}..."


def _text(position: Position) -> str:
    return f"[{_degrees(position[0])}, {_degrees(position[1])}]"


def _degrees(value: float) -> str:
    return f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")


def _in_range(lon: float, lat: float) -> bool:
    return abs(lon) <= LONGITUDE_MAX and abs(lat) <= LATITUDE_MAX


def _refuse_misplaced(polygons: Sequence[Sequence[Ring]], site: Position, form: str) -> None:
    """Refuse positions off the map, swapped, or far from the site; ``form`` names the way in which they were given."""
    positions = [position for rings in polygons for ring in rings for position in ring]
    swapped_fit = _all_near([(lat, lon) for lon, lat in positions], site)
    for lon, lat in positions:
        if not _in_range(lon, lat):
            _refuse(f"{form}.swapped" if swapped_fit else f"{form}.out_of_range", position=_said(lon, lat, form))
    if _all_near(positions, site):
        return
    farthest = max(positions, key=lambda position: distance_km(position, site))
    said = _said(*farthest, form)
    if swapped_fit:
        _refuse(f"{form}.swapped", position=said)
    _refuse("outline.far", position=said, away_km=math.ceil(distance_km(farthest, site)), limit_km=FAR_KM)


def _said(lon: float, lat: float, form: str) -> str:
    return f"{_degrees(lat)}, {_degrees(lon)}" if form == "corners" else _text((lon, lat))


def _all_near(positions: Sequence[Position], site: Position) -> bool:
    return all(_in_range(*position) and distance_km(position, site) <= FAR_KM for position in positions)


def _outline_of(polygons: Sequence[Sequence[Ring]], site: Position) -> Outline:
    """The outline of rings that lie where they should, cut at the 180th meridian."""
    shapes = []
    for rings in polygons:
        exterior, *holes = ([(near_longitude(lon, site[0]), lat) for lon, lat in ring] for ring in rings)
        shape = Polygon(exterior, holes)
        if not shape.is_valid:
            _refuse_shape(shape)
        shapes.append(shape)
    outline = outline_of_shape(_cut(_joined(shapes)))
    if outline.area_m2 < AREA_M2_MIN:
        _refuse("outline.flat", least=AREA_M2_MIN)
    return outline


def _joined(shapes: Sequence[Polygon]) -> Polygon | MultiPolygon:
    """The polygons as one shape; those that share an edge, as at the 180th meridian, become one again."""
    if len(shapes) == 1:
        return shapes[0]
    # An index of boxes: only parts that meet are compared, so that hundreds of islands are judged at once.
    for one, other in shapely.STRtree(shapes).query(shapes, predicate="intersects").T:
        shared = shapes[one].intersection(shapes[other])
        if one < other and shared.area > 0:
            at = shared.representative_point()
            _refuse("outline.parts", position=_text((at.x, at.y)))
    together = MultiPolygon(shapes)
    return together if together.is_valid else shapely.unary_union(together)


def _cut(shape: Polygon | MultiPolygon) -> Polygon | MultiPolygon:
    """The shape within -180 to 180: what lies beyond the meridian is cut off and set down on the other side of it."""
    west, _, east, _ = shape.bounds
    if west >= -LONGITUDE_MAX and east <= LONGITUDE_MAX:
        return shape
    pieces: list[Polygon] = []
    for turn in (-1, 0, 1):
        left = turn * FULL_TURN - LONGITUDE_MAX
        piece = shape.intersection(box(left, -LATITUDE_MAX, left + FULL_TURN, LATITUDE_MAX))
        moved = shapely.transform(piece, lambda xy, by=turn: (xy - [by * FULL_TURN, 0]).round(DECIMALS))
        pieces += [part for part in getattr(moved, "geoms", [moved]) if isinstance(part, Polygon) and part.area > 0]
    return pieces[0] if len(pieces) == 1 else MultiPolygon(pieces)


def _refuse_shape(polygon: Polygon) -> NoReturn:
    if polygon.convex_hull.area == 0:
        _refuse("outline.flat", least=AREA_M2_MIN)
    # GEOS names the fault and where it is: "Self-intersection[-76.5 44.2]".
    fault, _, place = explain_validity(polygon).partition("[")
    position = ", ".join(place.rstrip("]").split())
    if fault in {"Self-intersection", "Ring Self-intersection"} and not len(polygon.interiors):
        _refuse("outline.crosses_itself", position=f"[{position}]")
    _refuse("outline.holes", position=f"[{position}]")
