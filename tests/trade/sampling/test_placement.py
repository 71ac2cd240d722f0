"""Random positions inside an outline, judged with shapely in degrees and geodesics of pyproj."""

import itertools

import pytest
from pyproj import Geod
from scipy import stats
from shapely import Point
from shapely.geometry import shape

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.sampling import metres_outside, random_places

START = (-76.5, 44.25)
SQUARE = {
    "type": "Polygon",
    "coordinates": [[[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]],
}
# A narrow strip across, with a hole in the square beside it.
STRIP = {
    "type": "Polygon",
    "coordinates": [[[-76.5, 44.25], [-76.499, 44.251], [-76.49901, 44.25101], [-76.50001, 44.25001], [-76.5, 44.25]]],
}
HOLED = {
    "type": "Polygon",
    "coordinates": [
        SQUARE["coordinates"][0],
        [[-76.4998, 44.2502], [-76.4998, 44.2508], [-76.4992, 44.2508], [-76.4992, 44.2502], [-76.4998, 44.2502]],
    ],
}


TWO_PARTS = {
    "type": "MultiPolygon",
    "coordinates": [
        SQUARE["coordinates"],
        [[[-76.498, 44.25], [-76.497, 44.25], [-76.497, 44.251], [-76.498, 44.251], [-76.498, 44.25]]],
    ],
}


@pytest.mark.parametrize("outline", [SQUARE, STRIP, HOLED, TWO_PARTS])
def test_every_place_lies_inside_with_six_decimals(outline):
    places = random_places(outline, 60, seed=7, start=START).places
    assert len(places) == 60
    for place in places:
        assert shape(outline).contains(Point(place.longitude, place.latitude))
        assert (round(place.longitude, 6), round(place.latitude, 6)) == (place.longitude, place.latitude)
    assert [place.number for place in places] == list(range(1, 61))


def test_a_seed_gives_the_same_places_again_and_another_gives_others():
    def drawn(seed):
        return random_places(SQUARE, 5, seed=seed, start=START)

    assert drawn(3) == drawn(3)
    assert drawn(3).places != drawn(4).places
    assert "3" in drawn(3).reasons[0].text


def test_places_are_spread_evenly_over_the_area():
    """4 × 4 cells of equal size, 800 places: chi-square of the counts is not unusual for this seed."""
    counts = [0] * 16
    for seed in range(4):
        for place in random_places(SQUARE, 200, seed=seed, start=START).places:
            column, row = int((place.longitude + 76.5) * 4000), int((place.latitude - 44.25) * 4000)
            counts[min(row, 3) * 4 + min(column, 3)] += 1
    assert stats.chisquare(counts).pvalue > 0.01


def test_places_keep_their_distance():
    geod = Geod(ellps="WGS84")
    places = random_places(SQUARE, 20, seed=1, start=START, apart_m=10).places
    assert len(places) == 20
    for one, other in itertools.combinations(places, 2):
        assert geod.inv(one.longitude, one.latitude, other.longitude, other.latitude)[2] >= 9.99


def test_where_there_is_no_room_fewer_come_and_it_says_so():
    found = random_places(SQUARE, 20, seed=1, start=START, apart_m=80)
    assert 0 < len(found.places) < 20
    assert found.reasons[-1].code == "sampling.placed_fewer"


def test_the_walk_says_how_far_and_where_to():
    geod, here = Geod(ellps="WGS84"), START
    for place in random_places(SQUARE, 10, seed=5, start=START).places:
        there = geod.fwd(*here, place.bearing_deg, place.from_m)
        assert there[:2] == pytest.approx((place.longitude, place.latitude), abs=1e-9)
        assert 0 <= place.bearing_deg < 360
        here = (place.longitude, place.latitude)


def test_the_walk_goes_on_to_the_nearest():
    geod = Geod(ellps="WGS84")
    places = random_places(SQUARE, 15, seed=5, start=START).places
    for number, place in enumerate(places[:-1]):
        legs = [
            geod.inv(place.longitude, place.latitude, other.longitude, other.latitude)[2]
            for other in places[number + 1 :]
        ]
        assert places[number + 1].from_m == pytest.approx(min(legs))


@pytest.mark.parametrize(
    ("position", "outside"),
    [((-76.4995, 44.2505), False), ((-76.5, 44.25), False), ((-76.4985, 44.2505), True), ((-76.4995, 44.26), True)],
)
def test_how_far_outside_a_quadrat_lies(position, outside):
    """Against the geodesic to the nearest point of the square's edge."""
    (metres,) = metres_outside(SQUARE, [position])
    nearest = (min(max(position[0], -76.5), -76.499), min(max(position[1], 44.25), 44.251))
    assert metres == pytest.approx(
        Geod(ellps="WGS84").inv(position[0], position[1], nearest[0], nearest[1])[2], rel=1e-3, abs=0.01
    )
    assert (metres > 0.01) is outside


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        ({"count": 0}, ["count"]),
        ({"count": 201, "seed": -1, "apart_m": -1}, ["count", "seed", "apart_m"]),
    ],
)
def test_every_faulty_field_is_named(changes, fields):
    with pytest.raises(UnusableInput) as caught:
        random_places(SQUARE, changes.pop("count"), **{"seed": 1, "start": START, **changes})
    assert [fault.where for fault in caught.value.faults] == fields
