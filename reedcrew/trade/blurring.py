"""Positions made coarser before others may read them.

A position becomes the middle of its cell in a grid of whole steps of degrees. Steps are those of Chapman (2020),
"Current Best Practices for Generalizing Sensitive Species Occurrence Data", doi 10.15468/doc-5jp4-5g10: 0.1, 0.01 and
0.001 degrees. Nothing is drawn by lot: the same position gives the same cell each time, so that many downloads tell no
more than one, and a coarser cell holds its finer ones whole, so that several steps tell no more than the finest.

A cell protects weakly (RFC 7946 says so of all fuzzed positions): names of places and other records can give away what
it hides. Whoever publishes blurred positions leaves those out too, and gives a stand one position in all its records.
"""

import math
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from enum import StrEnum

from reedcrew.trade.errors import Faults
from reedcrew.trade.outline import EARTH, LATITUDE_MAX, LONGITUDE_MAX, Position

DECIMALS = 6  # of a position that is not blurred: about 10 cm


class Blurring(StrEnum):
    """How much coarser positions are made: not at all, or to a grid of so many degrees."""

    EXACT = "exact"
    FINE = "0.001"
    MEDIUM = "0.01"
    COARSE = "0.1"

    @property
    def step(self) -> Decimal | None:
        """Side of a cell in degrees; None where nothing is blurred."""
        return None if self is Blurring.EXACT else Decimal(self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A position as it may be read. ``uncertainty_m``: radius in whole metres around it that holds what is there.

    None where it is not known; never 0. ``precision`` are the degrees that the position is given in.
    """

    position: Position
    uncertainty_m: int | None
    precision: Decimal


def blur(position: Position, blurring: Blurring, *, radius_m: float | None) -> Place:
    """The position as a group lets others read it.

    ``radius_m`` is the radius around the true position that holds what is there, None where nobody knows it; the
    distance to the farthest corner of the cell is added to it. Raises UnusableInput for a position that is none.
    """
    lon, lat = position
    faults = Faults()
    faults.range("longitude", lon, -LONGITUDE_MAX, LONGITUDE_MAX, "degrees")
    faults.range("latitude", lat, -LATITUDE_MAX, LATITUDE_MAX, "degrees")
    faults.unless(radius_m is None or 0 <= radius_m < math.inf, "radius_m", "must be 0 or more metres")
    faults.raise_any()
    step = blurring.step
    if step is None:
        return Place(
            position=(round(lon, DECIMALS), round(lat, DECIMALS)),
            uncertainty_m=_whole(radius_m),
            precision=Decimal(1).scaleb(-DECIMALS),
        )
    middle = _middle(lon, step, LONGITUDE_MAX), _middle(lat, step, LATITUDE_MAX)
    farthest_m = half_diagonal_m(middle, step)
    return Place(
        position=middle,
        uncertainty_m=None if radius_m is None else _whole(radius_m + farthest_m),
        precision=step,
    )


def half_diagonal_m(middle: Position, step: Decimal) -> float:
    """Distance in metres on the WGS 84 ellipsoid from the middle of a cell to its corner nearest the equator."""
    lon, lat = middle
    half = float(step) / 2
    _there, _back, metres = EARTH.inv(lon, lat, lon + half, lat - math.copysign(half, lat))
    return float(metres)


# --- Private ---------------------------------------------------------------------------------------------------------


def _middle(degrees: float, step: Decimal, most: int) -> float:
    """Middle of the cell of a longitude or latitude; the last edge belongs to the last cell."""
    cell = (Decimal(repr(degrees)) / step).to_integral_value(ROUND_FLOOR)
    last = Decimal(most) / step - 1
    return float((min(cell, last) + Decimal("0.5")) * step)


def _whole(metres: float | None) -> int | None:
    """Whole metres, never too few; 0 is no uncertainty that Darwin Core knows, so that at least 1 stands there."""
    return None if metres is None else max(1, math.ceil(metres))
