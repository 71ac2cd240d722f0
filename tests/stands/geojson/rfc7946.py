"""A strict reader of GeoJSON, written from the clauses of RFC 7946: every departure from the text is a fault.

Clause numbers are from memory; the rules were read in the working group's final text.
"""

import itertools
import json
from collections.abc import Iterator
from typing import Any


def faults_of(text: str) -> list[str]:
    """What is wrong with a FeatureCollection; empty where nothing is."""
    found = json.loads(text, parse_constant=lambda name: name)
    return list(_collection(found))


def _collection(value: Any) -> Iterator[str]:
    if not isinstance(value, dict) or value.get("type") != "FeatureCollection":
        yield "3.3: not a FeatureCollection"
        return
    if "crs" in value:
        yield "4: crs is gone"
    if not isinstance(value.get("features"), list):
        yield "3.3: features is no array"
        return
    if {"coordinates", "geometries", "geometry", "properties"} & value.keys():
        yield "7.1: a FeatureCollection with members of another type"
    ids = []
    for number, feature in enumerate(value["features"]):
        yield from (f"feature {number}: {fault}" for fault in _feature(feature))
        if isinstance(feature, dict) and "id" in feature:
            ids.append(feature["id"])
    if len(ids) != len(set(ids)):
        yield "3.2: an id stands twice"


def _feature(value: Any) -> Iterator[str]:
    if not isinstance(value, dict) or value.get("type") != "Feature":
        yield "3.2: not a Feature"
        return
    if "geometry" not in value or not (value["geometry"] is None or isinstance(value["geometry"], dict)):
        yield "3.2: geometry is neither object nor null"
    if "properties" not in value or not (value["properties"] is None or isinstance(value["properties"], dict)):
        yield "3.2: properties is neither object nor null"
    if "id" in value and (isinstance(value["id"], bool) or not isinstance(value["id"], str | int | float)):
        yield "3.2: id is neither string nor number"
    if {"coordinates", "geometries", "features"} & value.keys():
        yield "7.1: a Feature with members of another type"
    if isinstance(value.get("geometry"), dict):
        yield from _geometry(value["geometry"])


def _geometry(value: dict[str, Any]) -> Iterator[str]:
    kind, coordinates = value.get("type"), value.get("coordinates")
    if {"geometry", "properties", "features"} & value.keys():
        yield "7.1: a geometry with members of another type"
    if kind == "Point":
        yield from _position(coordinates)
    elif kind == "Polygon":
        yield from _polygon(coordinates)
    elif kind == "MultiPolygon":
        for polygon in coordinates:
            yield from _polygon(polygon)
    else:
        yield f"3.1: {kind} is not written here"


def _position(value: Any) -> Iterator[str]:
    if not isinstance(value, list) or len(value) not in {2, 3}:
        yield f"3.1.1: {value} has not two or three numbers"
        return
    if any(isinstance(number, bool) or not isinstance(number, int | float) for number in value):
        yield f"3.1.1: {value} is not of numbers"
        return
    if not (-180 <= value[0] <= 180 and -90 <= value[1] <= 90):
        yield f"4: {value} is not on WGS 84"
    if any(round(number, 6) != number for number in value):
        yield f"11.2: {value} has more than 6 decimals"


def _polygon(rings: Any) -> Iterator[str]:
    if not isinstance(rings, list) or not rings:
        yield "3.1.6: a polygon without rings"
        return
    for number, ring in enumerate(rings):
        for position in ring:
            yield from _position(position)
        if len(ring) < 4:
            yield "3.1.6: a ring of fewer than four positions"
        if ring[0] != ring[-1]:
            yield "3.1.6: a ring that does not end where it starts"
        pairs = list(itertools.pairwise(ring))
        if any(abs(one[0] - other[0]) > 180 for one, other in pairs):
            yield "3.1.9: a line across the 180th meridian"
        turned = sum(one[0] * other[1] - other[0] * one[1] for one, other in pairs)
        if (turned > 0) != (number == 0):
            yield "3.1.6: not right-handed"
