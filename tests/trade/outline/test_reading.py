import itertools
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedcrew.trade.outline import UnusableOutline, read_outline, ring_area_m2, unwrapped
from tests.trade.outline.cells import area_to_equator_m2

SITE = (-76.5, 44.25)
SQUARE = [[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]
HOLE = [[-76.4998, 44.2502], [-76.4998, 44.2504], [-76.4996, 44.2504], [-76.4996, 44.2502], [-76.4998, 44.2502]]


def polygon(*rings):
    return {"type": "Polygon", "coordinates": list(rings)}


def read(value, site=SITE):
    return read_outline(value if isinstance(value, str) else json.dumps(value), site=site)


def problem_of(value, site=SITE):
    with pytest.raises(UnusableOutline) as caught:
        read(value, site=site)
    assert [fault.where for fault in caught.value.faults] == ["outline"]
    return caught.value.problem


def positions(ring: list[list[float]]) -> list[tuple[float, float]]:
    return [(longitude, latitude) for longitude, latitude in ring]


def test_a_polygon_is_read_with_its_area():
    outline = read(polygon(SQUARE))
    expected = area_to_equator_m2(44.251, 0.001) - area_to_equator_m2(44.25, 0.001)
    assert outline.area_m2 == pytest.approx(expected, rel=1e-5)
    assert outline.geojson == polygon(SQUARE)


@pytest.mark.parametrize("ring", [SQUARE, SQUARE[::-1]])
@pytest.mark.parametrize("hole", [HOLE, HOLE[::-1]])
def test_winding_is_put_right_and_holes_are_kept(ring, hole):
    """RFC 7946, 3.1.6: exterior counter-clockwise, holes clockwise (shoelace sums: positive is counter-clockwise)."""
    outline = read(polygon(ring, hole))

    def shoelace(points):
        return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in itertools.pairwise(points))

    (part,) = outline.parts
    assert shoelace(part.exterior) > 0
    assert [shoelace(kept) < 0 for kept in part.holes] == [True]
    assert outline.area_m2 == pytest.approx(ring_area_m2(positions(SQUARE)) - ring_area_m2(positions(HOLE)))


@pytest.mark.parametrize(
    "wrapped",
    [
        {"type": "Feature", "properties": None, "geometry": polygon(SQUARE)},
        {"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {}, "geometry": polygon(SQUARE)}]},
        {**polygon(SQUARE), "bbox": [-76.5, 44.25, -76.499, 44.251], "note": "extra members are allowed"},
        polygon([[*position, 75.2] for position in SQUARE]),
    ],
)
def test_features_extra_members_and_heights_are_accepted(wrapped):
    assert read(wrapped).geojson == polygon(SQUARE)


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("", "outline.not_json"),
        ("POLYGON((0 0, 1 1, 1 0, 0 0))", "outline.not_json"),
        ('{"type": "Polygon", "coordinates": [[[NaN, 1]]]}', "outline.not_json"),
        ("[" * 100_000, "outline.not_json"),
        ("1" * 5_000, "outline.not_json"),
        (" " * 200_001, "outline.long"),
        ([SQUARE], "outline.not_polygon"),
        ({"type": "Point", "coordinates": [-76.5, 44.25]}, "outline.not_polygon"),
        ({"type": "MultiPolygon", "coordinates": []}, "outline.empty"),
        ({"type": "MultiPolygon", "coordinates": [SQUARE]}, "outline.position"),
        ({"type": "MultiPolygon", "coordinates": [[SQUARE], [HOLE]]}, "outline.parts"),
        ({"type": "Feature", "properties": {}, "geometry": None}, "outline.not_polygon"),
        ({"type": ["Polygon"]}, "outline.not_polygon"),
        ({"type": "FeatureCollection", "features": []}, "outline.features"),
        ({"type": "FeatureCollection"}, "outline.features"),
        ({"type": "FeatureCollection", "features": [polygon(SQUARE)] * 2}, "outline.features"),
        ({"type": "Polygon"}, "outline.empty"),
        (polygon(), "outline.empty"),
        (polygon("ring"), "outline.empty"),
        (polygon(SQUARE[:2] + SQUARE[:1]), "outline.short"),
        (polygon(SQUARE[:-1]), "outline.open"),
        (polygon([[-76.5], *SQUARE]), "outline.position"),
        (polygon([["-76.5", 44.25], *SQUARE]), "outline.position"),
        (polygon([[True, 44.25], *SQUARE]), "outline.position"),
        (polygon([[10**400, 44.25], *SQUARE]), "outline.position"),
        (polygon([[-76.5, 44.25], [-76.4, 44.25], [-76.3, 44.25], [-76.5, 44.25]]), "outline.flat"),
        (polygon([[-76.5, 44.25], [-76.5, 44.2500001], [-76.4999999, 44.25], [-76.5, 44.25]]), "outline.flat"),
        (polygon([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]), "outline.crosses_itself"),
        (polygon(SQUARE, [[lon + 1e-1, lat] for lon, lat in HOLE]), "outline.holes"),
        (polygon(SQUARE, HOLE, HOLE), "outline.holes"),
        (polygon([[lat, lon] for lon, lat in SQUARE]), "outline.swapped"),
        (polygon([[lon + 5, lat] for lon, lat in SQUARE]), "outline.far"),
        (polygon([[200, 10], [201, 10], [201, 11], [200, 10]]), "outline.out_of_range"),
        (polygon([[10, 91], [11, 91], [11, 92], [10, 91]]), "outline.out_of_range"),
    ],
)
def test_what_is_no_outline_is_refused_with_its_cause(value, code):
    assert problem_of(value).code == code


def test_a_swap_is_told_from_the_site_where_both_numbers_would_be_latitudes():
    """At 30.2 E, 59.5 N nothing is out of range either way round."""
    site = (30.2, 59.5)
    ring = [[30.2, 59.5], [30.201, 59.5], [30.201, 59.501], [30.2, 59.5]]
    assert read(polygon(ring), site=site).area_m2 > 0
    swapped = problem_of(polygon([[lat, lon] for lon, lat in ring]), site=site)
    assert swapped.code == "outline.swapped"
    assert "longitude first" in swapped.text


def test_an_outline_far_away_is_told_how_far():
    # One degree of latitude from 44.25 N is about 111.1 km (meridian arc at that latitude).
    problem = problem_of(polygon([[lon, lat + 1] for lon, lat in SQUARE]))
    assert problem.code == "outline.far"
    assert 111 <= problem.values["away_km"] <= 112


FIJI = (179.9995, -16.5)  # a site beside the 180th meridian


@pytest.mark.parametrize("east", [180.001, -179.999])
def test_an_outline_over_the_180th_meridian_is_cut_in_two(east):
    """RFC 7946, 3.1.9: the parts meet at the meridian, and no line crosses it."""
    ring = [[179.999, -16.5], [east, -16.5], [east, -16.499], [179.999, -16.499], [179.999, -16.5]]
    if east > 180:
        assert problem_of(polygon(ring), site=FIJI).code == "outline.out_of_range"  # WGS 84 degrees end at 180
        return
    outline = read(polygon(ring), site=FIJI)
    assert outline.geojson["type"] == "MultiPolygon"
    sides = sorted(sorted({lon for lon, _ in part.exterior}) for part in outline.parts)
    assert sides == [[-180, east], [179.999, 180]]
    whole = area_to_equator_m2(16.5, 0.002) - area_to_equator_m2(16.499, 0.002)
    assert outline.area_m2 == pytest.approx(whole, rel=1e-5)
    again = read(outline.geojson, site=FIJI)
    assert again.area_m2 == pytest.approx(outline.area_m2, rel=1e-9)
    assert unwrapped(again).equals(unwrapped(outline))


def test_a_polygon_of_several_parts_keeps_them_apart_and_joins_what_shares_an_edge():
    beside = [[lon + 0.001, lat] for lon, lat in SQUARE]
    away = [[lon + 0.005, lat] for lon, lat in SQUARE]
    joined = read({"type": "MultiPolygon", "coordinates": [[SQUARE], [beside]]})
    apart = read({"type": "MultiPolygon", "coordinates": [[SQUARE], [away]]})
    assert (joined.geojson["type"], len(apart.parts)) == ("Polygon", 2)
    assert joined.area_m2 == pytest.approx(apart.area_m2, rel=1e-6)


def test_positions_are_kept_to_6_decimals():
    """RFC 7946, 11.2: 6 decimals are about 10 cm, and more only swells files."""
    ring = [[lon + 0.00000049, lat] for lon, lat in SQUARE]
    assert read(polygon(ring)).geojson == polygon(SQUARE)


@pytest.mark.parametrize(
    "text",
    [
        "44.25, -76.5\n44.25, -76.499\n44.251, -76.499\n44.251, -76.5",
        "44.25 -76.5\n\n  44.25 -76.499\r\n44.251;-76.499\n44.251 -76.5\n44.25,-76.5\n",
        "44.25° N, 76.5° W\n44.25 N 76.499 W\n44.251N,76.499W\n44.251n 76.5w",
    ],
)
def test_corners_one_a_line_are_read_latitude_first(text):
    assert read(text).geojson == polygon(SQUARE)


def test_corners_are_written_as_they_are_read():
    outline = read(polygon(SQUARE))
    assert outline.corner_lines.splitlines()[:2] == ["44.250000, -76.500000", "44.250000, -76.499000"]
    assert read(outline.corner_lines) == outline
    assert read(polygon(SQUARE, HOLE)).corner_lines == ""


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("44.25, -76.5\n44.25, -76.499", "corners.short", "Corners: 2."),
        ("44.25, -76.5\n44.25, -76.499\n44.25, -76.5", "corners.short", "at least 3"),
        ("44.25, -76.5\nthe oak\n44.251, -76.499", "corners.line", "Line 2, “the oak”"),
        ("44,25, -76,5\n44.25, -76.499\n44.251, -76.499", "corners.line", "Line 1"),
        ("-76.5, 44.25\n-76.499, 44.25\n-76.499, 44.251", "corners.swapped", "latitude comes first"),
        ("91, -76.5\n44.25, -76.499\n44.251, -76.499", "corners.out_of_range", "91, -76.5"),
        ("45.25, -76.5\n44.25, -76.499\n44.251, -76.499", "outline.far", "45.25, -76.5"),
        ("44.25, -76.5\n44.251, -76.499\n44.25, -76.499\n44.251, -76.5", "outline.crosses_itself", "44.2505"),
        ("44.25, -76.5\n44.25, -76.499\n44.25, -76.498", "outline.flat", "1 m²"),
    ],
)
def test_what_is_wrong_with_corners_is_said_in_their_order(text, code, words):
    problem = problem_of(text)
    assert problem.code == code
    assert words in problem.text


def test_the_place_of_a_crossing_is_named():
    problem = problem_of(polygon([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]))
    assert "-76.4995" in problem.text
    assert "44.2505" in problem.text


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(st.sampled_from(["type", "x"]), inner, max_size=3),
    max_leaves=12,
)


@settings(max_examples=50, deadline=None)
@given(rings=json_values, kind=st.sampled_from(["Polygon", "Feature", "FeatureCollection", 1]))
def test_nothing_that_is_json_raises_another_error(rings, kind):
    value = {"type": kind, "coordinates": rings, "features": rings, "geometry": polygon(rings)}
    with pytest.raises(UnusableOutline):
        read(value)


@settings(max_examples=50, deadline=None)
@given(
    corners=st.lists(
        st.tuples(st.integers(-200, 200), st.integers(-200, 200)),
        min_size=3,
        max_size=8,
    )
)
def test_every_outline_that_is_read_reads_back_as_itself(corners):
    ring = [[SITE[0] + x / 1000, SITE[1] + y / 1000] for x, y in corners]
    try:
        outline = read(polygon([*ring, ring[0]]))
    except UnusableOutline:
        assert problem_of(polygon([*ring, ring[0]])).code in {"outline.flat", "outline.crosses_itself"}
        return
    again = read(outline.geojson)
    assert again == outline
    assert outline.area_m2 >= 1


def test_of_many_islands_the_two_that_overlap_are_found():
    def island(west, south):
        return [[[west + x, south + y] for x, y in ((0, 0), (1e-4, 0), (1e-4, 1e-4), (0, 1e-4), (0, 0))]]

    islands = [island(-76.5 + 2e-4 * east, 44.25 + 2e-4 * north) for east in range(20) for north in range(20)]
    assert len(read({"type": "MultiPolygon", "coordinates": islands}).parts) == len(islands)
    again = [*islands, island(-76.5 + 5e-5, 44.25 + 5e-5)]
    problem = problem_of({"type": "MultiPolygon", "coordinates": again})
    assert problem.code == "outline.parts"
    assert problem.values["position"] == "[-76.499925, 44.250075]"
