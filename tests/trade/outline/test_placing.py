import pytest

from reedcrew.trade.outline import outside_m2, placing_of, read_outline, shared_m2

SITE = (-76.5, 44.25)


def box(west: float, south: float, east: float, north: float, site=SITE):
    """An outline from thousandths of a degree east and north of the site."""
    corners = ((south, west), (south, east), (north, east), (north, west))
    return read_outline("\n".join(f"{site[1] + y / 1000}, {site[0] + x / 1000}" for y, x in corners), site=site)


STAND = box(0, 0, 4, 4)


def test_a_zone_inside_its_stand_and_apart_from_others_needs_no_word():
    for placing in (
        placing_of("A", box(0, 0, 2, 4), stand=STAND, others={"B": box(2, 0, 4, 4)}),
        placing_of("A", box(8, 8, 9, 9), stand=None, others={}),
    ):
        assert (placing.wholly_outside, placing.reasons) == (False, ())


def test_a_zone_partly_outside_is_told_how_much():
    """Half of the zone is outside: the two halves differ by less than a thousandth on the ellipsoid."""
    zone = box(3, 0, 5, 4)
    (caution,) = placing_of("A", zone, stand=STAND, others={}).reasons
    assert caution.code == "outline.partly_outside"
    assert caution.values["percent"] == 50
    assert caution.values["area_m2"] == pytest.approx(zone.area_m2 / 2, rel=1e-3)
    assert outside_m2(zone, STAND) == pytest.approx(zone.area_m2 / 2, rel=1e-3)


def test_a_zone_wholly_outside_is_refused():
    placing = placing_of("Deep edge", box(4, 0, 6, 4), stand=STAND, others={})
    assert placing.wholly_outside
    assert [reason.code for reason in placing.reasons] == ["outline.outside"]
    assert "Deep edge" in placing.reasons[0].text


def test_zones_that_overlap_are_named_with_the_area_in_common():
    zone, other = box(0, 0, 3, 4), box(2, 0, 4, 4)
    (caution,) = placing_of("A", zone, stand=STAND, others={"B": other, "C": box(3, 0, 4, 4)}).reasons
    assert caution.code == "outline.overlaps"
    assert caution.values["other"] == "B"
    assert caution.values["area_m2"] == pytest.approx(box(2, 0, 3, 4).area_m2, abs=1)
    assert shared_m2(zone, other) == pytest.approx(shared_m2(other, zone))


def test_outlines_on_both_sides_of_the_180th_meridian_are_compared_as_they_lie():
    site = (179.999, -16.5)
    stand = read_outline("-16.5, 179.998\n-16.5, -179.998\n-16.498, -179.998\n-16.498, 179.998", site=site)
    zone = read_outline("-16.5, -179.999\n-16.5, -179.997\n-16.499, -179.997\n-16.499, -179.999", site=site)
    (caution,) = placing_of("A", zone, stand=stand, others={}).reasons
    assert caution.values["percent"] == 50
