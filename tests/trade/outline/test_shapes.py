import math

import pytest
from pyproj import Geod

from reedcrew.trade.outline import distance_km, outline_from, read_outline, ring_area_m2
from tests.trade.outline.cells import A_M, area_to_equator_m2

SQUARE = [(-76.5, 44.25), (-76.499, 44.25), (-76.499, 44.251), (-76.5, 44.251), (-76.5, 44.25)]


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


def test_area_does_not_depend_on_direction_or_on_the_repeated_position():
    ring = SQUARE
    assert ring_area_m2(ring) == pytest.approx(ring_area_m2(ring[::-1]))
    assert ring_area_m2(ring) == pytest.approx(ring_area_m2(ring[:-1]))


def test_a_degree_of_the_equator_is_111_km_long():
    assert distance_km((0, 0), (1, 0)) == pytest.approx(math.radians(1) * A_M / 1000, rel=1e-9)


def test_area_is_that_of_pyproj_and_of_a_sum_by_hand():
    """By hand for 0.001° × 0.001° with its middle at φ = 44.2505°, from a = 6 378 137 m and e² = 0.006 694 38 (WGS 84).

    N = a / √(1 − e² sin² φ) = 6 388 557.66 m, so 0.001° of longitude is N cos φ × π / 180 000 = 79.868 m;
    M = a (1 − e²) / (1 − e² sin² φ)^1.5 = 6 366 542.80 m, so 0.001° of latitude is 111.117 m; together 8874.70 m².
    """
    outline = read_outline("\n".join(f"{lat}, {lon}" for lon, lat in SQUARE), site=(-76.5, 44.25))
    area_m2, _perimeter = Geod(ellps="WGS84").polygon_area_perimeter(
        [lon for lon, _ in SQUARE], [lat for _, lat in SQUARE]
    )
    assert outline.area_m2 == pytest.approx(area_m2, rel=1e-12)
    assert outline.area_m2 == pytest.approx(8874.70, abs=0.02)


def test_what_was_stored_comes_back():
    outline = read_outline("\n".join(f"{lat}, {lon}" for lon, lat in SQUARE), site=(-76.5, 44.25))
    assert outline_from(outline.geojson) == outline


def test_the_centre_of_a_horseshoe_lies_inside_it():
    text = (
        "44, 10\n44, 10.004\n44.004, 10.004\n44.004, 10.003\n44.001, 10.003\n44.001, 10.001\n44.004, 10.001\n44.004, 10"
    )
    lon, lat = read_outline(text, site=(10, 44)).centre
    assert lat < 44.001 or lon < 10.001 or lon > 10.003
    square = read_outline("44.25, -76.5\n44.25, -76.499\n44.251, -76.499\n44.251, -76.5", site=(-76.5, 44.25))
    assert square.centre == pytest.approx((-76.4995, 44.2505))
