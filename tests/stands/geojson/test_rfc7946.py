"""The strict reader finds what it is there to find: the examples of RFC 7946 pass, and each clause can be broken."""

import json

import pytest

from tests.stands.geojson.rfc7946 import faults_of

RING = [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]  # RFC 7946, appendix A.3
HOLE = [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]  # the same, from memory


def collection(geometry=None, **members):
    feature = {"type": "Feature", "id": "a", "geometry": geometry, "properties": None, **members}
    return {"type": "FeatureCollection", "features": [feature]}


def polygon(*rings):
    return {"type": "Polygon", "coordinates": list(rings)}


@pytest.mark.parametrize("value", [collection(polygon(RING)), collection(polygon(RING, HOLE)), collection()])
def test_what_the_text_allows_passes(value):
    assert faults_of(json.dumps(value)) == []


@pytest.mark.parametrize(
    ("value", "clause"),
    [
        (polygon(RING), "3.3"),
        (collection() | {"crs": {}}, "4"),
        (collection(id=None), "3.2"),
        (collection(properties=[]), "3.2"),
        (collection(polygon(RING[::-1])), "3.1.6: not right-handed"),
        (collection(polygon(RING, HOLE[::-1])), "3.1.6: not right-handed"),
        (collection(polygon(RING[:-1])), "3.1.6: a ring that does not end"),
        (collection(polygon([RING[0], RING[1], RING[0]])), "3.1.6: a ring of fewer"),
        (collection(polygon([[x, y + 90] for x, y in RING])), "4:"),
        (collection({"type": "Point", "coordinates": [1.0, 2.0, 3.0, 4.0]}), "3.1.1"),
        (collection({"type": "Point", "coordinates": ["1", 2]}), "3.1.1"),
        (collection({"type": "Point", "coordinates": [1.0000001, 2]}), "11.2"),
        (collection(polygon([[179, 0], [-179, 0], [-179, 1], [179, 1], [179, 0]])), "3.1.9"),
        (collection(coordinates=[]), "7.1"),
    ],
)
def test_each_clause_can_be_broken(value, clause):
    assert any(clause in fault for fault in faults_of(json.dumps(value)))
