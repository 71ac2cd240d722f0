"""The ground of the demo group, judged by shapely: stands inside boundaries, zones inside stands, no overlap."""

import itertools

import pytest
from shapely import Polygon

from reedcrew.demo.ground import BOUNDARIES, OUTLINES
from reedcrew.demo.places import STANDS, ZONES


@pytest.mark.parametrize("stand", STANDS, ids=lambda stand: stand.name)
def test_a_stand_is_drawn_inside_the_ground_of_its_site(stand):
    outline = Polygon(OUTLINES[stand.name])
    assert outline.is_valid
    if stand.site in BOUNDARIES:
        assert Polygon(BOUNDARIES[stand.site]).contains(outline)


@pytest.mark.parametrize("zone", ZONES, ids=lambda zone: zone.name)
def test_a_zone_lies_inside_its_stand_with_room_to_spare(zone):
    assert Polygon(OUTLINES[zone.stand]).contains(Polygon(zone.corners).buffer(0.3))


def test_no_two_zones_overlap():
    for one, other in itertools.combinations(ZONES, 2):
        if one.stand == other.stand:
            assert Polygon(one.corners).intersection(Polygon(other.corners)).area < 1
