import itertools
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedcrew.trade.outline import UnusableOutline, distance_km, read_outline, ring_area_m2

SITE = (-76.5, 44.25)
SQUARE = [[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]
HOLE = [[-76.4998, 44.2502], [-76.4998, 44.2504], [-76.4996, 44.2504], [-76.4996, 44.2502], [-76.4998, 44.2502]]

# WGS 84 (NIMA TR8350.2): semi-major axis and flattening.
A_M, F = 6378137.0, 1 / 298.257223563
E2 = F * (2 - F)


def polygon(*rings):
    return {"type": "Polygon", "coordinates": list(rings)}


def read(value, site=SITE):
    return read_outline(value if isinstance(value, str) else json.dumps(value), site=site)


def problem_of(value, site=SITE):
    with pytest.raises(UnusableOutline) as caught:
        read(value, site=site)
    assert [fault.where for fault in caught.value.faults] == ["outline"]
    return caught.value.problem


def area_to_equator_m2(lat_deg, width_deg):
    """Ellipsoid area between the equator and a parallel, closed form: A = a² Δλ q / 2.

    q is that of Snyder, Map Projections: A Working Manual (USGS Professional Paper 1395), equation 3-12 (from memory).
    """
    e, s = math.sqrt(E2), math.sin(math.radians(lat_deg))
    q = (1 - E2) * (s / (1 - E2 * s * s) - math.log((1 - e * s) / (1 + e * s)) / (2 * e))
    return A_M * A_M * math.radians(width_deg) * q / 2


def test_the_closed_form_gives_the_published_surface_of_the_earth():
    # WGS 84 surface area 510,065,621.724 km², a published derived constant of the ellipsoid (from memory).
    assert 2 * area_to_equator_m2(90, 360) / 1e6 == pytest.approx(510_065_621.724, abs=0.001)


@pytest.mark.parametrize("south", [-1, 0, 44, 60, 79])
def test_the_area_of_a_one_degree_cell_agrees_with_the_closed_form(south):
    # Parallels are no geodesics: many short edges follow them.
    steps = 2000
    eastward = [(i / steps, south) for i in range(steps)]
    westward = [(1 - i / steps, south + 1) for i in range(steps)]
    expected = abs(area_to_equator_m2(south + 1, 1) - area_to_equator_m2(south, 1))
    assert ring_area_m2([*eastward, (1, south), *westward, (0, south + 1)]) == pytest.approx(expected, rel=1e-7)


def positions(ring: list[list[float]]) -> list[tuple[float, float]]:
    return [(longitude, latitude) for longitude, latitude in ring]


def test_area_does_not_depend_on_direction_or_on_the_repeated_position():
    ring = positions(SQUARE)
    assert ring_area_m2(ring) == pytest.approx(ring_area_m2(ring[::-1]))
    assert ring_area_m2(ring) == pytest.approx(ring_area_m2(ring[:-1]))


def test_a_degree_of_the_equator_is_111_km_long():
    assert distance_km((0, 0), (1, 0)) == pytest.approx(math.radians(1) * A_M / 1000, rel=1e-9)


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

    assert shoelace(outline.exterior) > 0
    assert [shoelace(kept) < 0 for kept in outline.holes] == [True]
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
        ({"type": "MultiPolygon", "coordinates": [[SQUARE]]}, "outline.not_polygon"),
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


def test_an_outline_over_the_180th_meridian_asks_for_two_zones():
    ring = [[179.999, 0], [-179.999, 0], [-179.999, 0.001], [179.999, 0]]
    assert problem_of(polygon(ring), site=(180, 0)).code == "outline.across_180"


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
