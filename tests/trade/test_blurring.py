"""Blurred positions: what they hide, what they still tell, and that asking again tells nothing more."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.blurring import Blurring, blur, half_diagonal_m
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.outline import EARTH

BLURRED = [each for each in Blurring if each is not Blurring.EXACT]
positions = st.tuples(st.floats(-180, 180), st.floats(-90, 90))


def metres(one, other):
    return EARTH.inv(*one, *other)[2]


@given(positions, st.sampled_from(BLURRED), st.floats(0, 5_000))
def test_what_is_there_lies_within_the_uncertainty(position, blurring, radius_m):
    place = blur(position, blurring, radius_m=radius_m)
    assert metres(position, place.position) + radius_m <= place.uncertainty_m + 0.001


@given(positions, st.sampled_from(BLURRED), st.floats(0, 1), st.floats(0, 1))
def test_every_position_of_a_cell_gives_the_same_place(position, blurring, across, up):
    """So an average over any number of downloads is the middle of the cell and nothing else."""
    place = blur(position, blurring, radius_m=0)
    step = float(blurring.step)
    corner = place.position[0] - step / 2, place.position[1] - step / 2
    inside = [low + step * (0.001 + 0.998 * share) for low, share in zip(corner, (across, up), strict=True)]
    assert blur(tuple(inside), blurring, radius_m=0) == place


@given(positions)
def test_a_coarser_cell_holds_its_finer_ones(position):
    """So a group that changes its mind between steps has told no more than with the finest of them."""
    fine = blur(position, Blurring.FINE, radius_m=0).position
    assert blur(fine, Blurring.COARSE, radius_m=0) == blur(position, Blurring.COARSE, radius_m=0)
    assert blur(fine, Blurring.MEDIUM, radius_m=0) == blur(position, Blurring.MEDIUM, radius_m=0)


@pytest.mark.parametrize(("blurring", "diagonal_m"), [("0.1", 15_691), ("0.01", 1_570), ("0.001", 157)])
def test_cells_are_as_wide_as_published(blurring, diagonal_m):
    """Chapman and Wieczorek (2020), Georeferencing Best Practices, table 3, at 0° latitude: a whole cell's diagonal.

    The middle of a cell is half of it away from the corners.
    """
    half = half_diagonal_m((0.0, float(blurring) / 2), Decimal(blurring))
    assert 2 * half == pytest.approx(diagonal_m, abs=1)


def test_by_hand():
    """44.2567, -76.4912 lies in the cell from 44.25 to 44.26 north and from 76.50 to 76.49 west."""
    place = blur((-76.4912, 44.2567), Blurring.MEDIUM, radius_m=40)
    assert place.position == (-76.495, 44.255)
    assert place.precision == Decimal("0.01")
    # Half a cell is 555.7 m of latitude and about 0.005 × 111,320 m × cos 44.25° = 398.7 m of longitude.
    assert place.uncertainty_m == pytest.approx(math.hypot(555.7, 398.7) + 40, abs=2)


def test_an_exact_position_keeps_its_own_uncertainty():
    place = blur((-76.49123456, 44.25671234), Blurring.EXACT, radius_m=12.1)
    assert (place.position, place.uncertainty_m) == ((-76.491235, 44.256712), 13)
    assert blur((0, 0), Blurring.EXACT, radius_m=0).uncertainty_m == 1


@pytest.mark.parametrize("blurring", list(Blurring))
def test_an_uncertainty_that_nobody_knows_is_not_made_up(blurring):
    assert blur((-76.5, 44.25), blurring, radius_m=None).uncertainty_m is None


@pytest.mark.parametrize("position", [(180, 90), (-180, -90), (180, 0)])
def test_the_edges_of_the_map_have_a_cell(position):
    lon, lat = blur(position, Blurring.COARSE, radius_m=0).position
    assert (abs(lon), abs(lat)) in {(179.95, 89.95), (179.95, 0.05)}


@pytest.mark.parametrize(
    ("position", "radius_m", "where"),
    [((181, 0), 0, "longitude"), ((0, math.nan), 0, "latitude"), ((0, 0), -1, "radius_m")],
)
def test_what_is_no_position_is_named(position, radius_m, where):
    with pytest.raises(UnusableInput, match=where):
        blur(position, Blurring.COARSE, radius_m=radius_m)
