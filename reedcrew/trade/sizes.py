"""Sizes of life jackets, waders, boots and gloves.

Sources stand beside each table: 46 CFR part 160 for life jackets, EN 420:2003 for gloves, ISO 19407 for boots.
"""

import math
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import assert_never

from reedcrew.trade.errors import Faults
from reedcrew.trade.items import JacketClass

# Lightest wearer of each class, heaviest class first; True where the bound itself belongs to the class. 46 CFR
# 160.047-2 and 160.060-2: adult over 90 lb (40.8 kg), youth 50 to 90 lb (22.7 kg), child below that. Infant under 30
# lb (13.6 kg) is from memory; an infant has no class here, because nobody so light works near water.
JACKET_CLASSES: tuple[tuple[float, bool, JacketClass], ...] = (
    (40.8, False, JacketClass.ADULT),
    (22.7, True, JacketClass.YOUTH),
    (13.6, True, JacketClass.CHILD),
)
MASS_KG_MIN, MASS_KG_MAX = 2, 400  # what an entry can mean (convention)

# Boots: one Paris point is two thirds of a centimetre, one barleycorn a third of an inch. With these offsets the
# formulas hit all four anchors read in a public page that cites ISO 19407: UK 6 = 245.53 mm, UK 10 = 279.4 mm, EU 39
# = 246.6 mm, EU 44 = 280 mm. The ISO tables themselves were not seen.
PARIS_POINT_MM = Fraction(20, 3)
BARLEYCORN_MM = Fraction(254, 30)
EU_OFFSET = 2
UK_OFFSET = -23
US_MEN_OFFSET = -22
US_WOMEN_OVER_MEN = Fraction(3, 2)  # the usual retail difference; FIA lists use 1
HALF = Fraction(1, 2)
BOOT_EU_MIN, BOOT_EU_MAX = 20, 55  # what an entry can mean (convention)

# EN 420:2003: glove size, hand circumference mm, hand length mm. Sizes 4, 5, 12 and 13 (EN ISO 21420) are from memory
# and have no length here.
GLOVES: tuple[tuple[int, int, int | None], ...] = (
    (4, 101, None),
    (5, 127, None),
    (6, 152, 160),
    (7, 178, 171),
    (8, 203, 182),
    (9, 229, 192),
    (10, 254, 204),
    (11, 279, 215),
    (12, 304, None),
    (13, 329, None),
)
HAND_MM_MIN, HAND_MM_MAX = 90, 340  # what an entry can mean (convention)
HAND_LENGTH_MM_MIN, HAND_LENGTH_MM_MAX = 90, 260


class ShoeScale(StrEnum):
    """A way to state the size of a foot or boot."""

    FOOT_MM = "foot length in mm"
    EU = "EU"
    UK = "UK"
    US_MEN = "US men"
    US_WOMEN = "US women"


def jacket_class(mass_kg: float) -> JacketClass | None:
    """The life jacket's user class for a body mass in kg; None under 13.6 kg, where the trade has no jacket.

    Adult over 40.8 kg, youth from 22.7 kg, child from 13.6 kg (46 CFR 160.047-2, 160.060-2; the lowest bound from
    memory).

    Raises UnusableInput outside 2 to 400 kg.
    """
    faults = Faults()
    faults.range("mass_kg", mass_kg, MASS_KG_MIN, MASS_KG_MAX, "kg")
    faults.raise_any()
    for lightest_kg, bound_belongs, user_class in JACKET_CLASSES:
        if mass_kg > lightest_kg or (bound_belongs and mass_kg == lightest_kg):
            return user_class
    return None


def _check_boot_eu(boot_eu: Decimal) -> None:
    faults = Faults()
    faults.range("boot_eu", float(boot_eu), BOOT_EU_MIN, BOOT_EU_MAX)
    faults.unless(not boot_eu.is_finite() or boot_eu * 2 % 1 == 0, "boot_eu", "must be a whole or a half size")
    faults.raise_any()


@lru_cache(maxsize=128)
def wader_labels(boot_eu: Decimal) -> tuple[str, ...]:
    """Labels of waders that fit a boot size (H5): whole EU sizes from the boot size to one above, smallest first.

    42 gives 42 and 43; 42.5 gives 43 only. Never smaller than the foot (convention: waders and boots round up).

    Raises UnusableInput for a size outside 20 to 55 or that is no whole or half size.
    """
    _check_boot_eu(boot_eu)
    return tuple(str(label) for label in range(math.ceil(boot_eu), math.floor(boot_eu + 1) + 1))


def boot_labels(boot_eu: Decimal) -> tuple[str, ...]:
    """Labels of boots that fit, smallest first: the rule of wader_labels, whose feet are boots."""
    return wader_labels(boot_eu)


def foot_mm(scale: ShoeScale, size: Decimal) -> Fraction:
    """Exact foot length in mm for a size on a scale: the inverse of size_on."""
    exact = Fraction(size)
    match scale:
        case ShoeScale.FOOT_MM:
            return exact
        case ShoeScale.EU:
            return (exact - EU_OFFSET) * PARIS_POINT_MM
        case ShoeScale.UK:
            return (exact - UK_OFFSET) * BARLEYCORN_MM
        case ShoeScale.US_MEN:
            return (exact - US_MEN_OFFSET) * BARLEYCORN_MM
        case ShoeScale.US_WOMEN:
            return (exact - US_WOMEN_OVER_MEN - US_MEN_OFFSET) * BARLEYCORN_MM
        case _:
            assert_never(scale)


def size_on(scale: ShoeScale, length_mm: Fraction) -> Fraction:
    """Exact, unrounded size on a scale for a foot length in mm.

    EU = foot / 6.6667 + 2; UK = 3 × foot / 25.4 − 23; US men = UK + 1; US women = US men + 1.5.
    """
    match scale:
        case ShoeScale.FOOT_MM:
            return length_mm
        case ShoeScale.EU:
            return length_mm / PARIS_POINT_MM + EU_OFFSET
        case ShoeScale.UK:
            return length_mm / BARLEYCORN_MM + UK_OFFSET
        case ShoeScale.US_MEN:
            return length_mm / BARLEYCORN_MM + US_MEN_OFFSET
        case ShoeScale.US_WOMEN:
            return length_mm / BARLEYCORN_MM + US_MEN_OFFSET + US_WOMEN_OVER_MEN
        case _:
            assert_never(scale)


def _halves(count: int) -> Decimal:
    return Decimal(count) / 2


def boot_eu(scale: ShoeScale, size: Decimal) -> Decimal:
    """The stored form of a boot size: EU in half sizes, rounded up so that no boot or wader is too small (convention).

    Raises UnusableInput, naming ``size``, for a foot outside EU 20 to 55.
    """
    faults = Faults()
    faults.unless(size.is_finite(), "size", "must be a number")
    faults.raise_any()
    eu = math.ceil(size_on(ShoeScale.EU, foot_mm(scale, size)) / HALF)
    low, high = (size_on(scale, foot_mm(ShoeScale.EU, Decimal(bound))) for bound in (BOOT_EU_MIN, BOOT_EU_MAX))
    faults.unless(
        BOOT_EU_MIN * 2 <= eu <= BOOT_EU_MAX * 2,
        "size",
        f"must be from {math.ceil(low)} to {math.floor(high)} ({scale.value}), not {size}",
    )
    faults.raise_any()
    return _halves(eu)


def nearest_half_size(scale: ShoeScale, length_mm: Fraction) -> Decimal:
    """The size on a scale as shops print it:

    nearest half, exact ties up. For showing a size, never for choosing waders.
    """
    return _halves(math.floor(size_on(scale, length_mm) / HALF + HALF))


def glove_size(hand_mm: float, hand_length_mm: float | None = None) -> int:
    """Glove size, 4 to 13, for a hand circumference in mm: the nearest of EN 420:2003, exact ties to the larger.

    If the hand's length points to a larger size, that one is taken (convention): 200 mm around and 195 mm long is 9.

    Raises UnusableInput for a circumference outside 90 to 340 mm or a length outside 90 to 260 mm.
    """
    faults = Faults()
    faults.range("hand_mm", hand_mm, HAND_MM_MIN, HAND_MM_MAX, "mm")
    if hand_length_mm is not None:
        faults.range("hand_length_mm", hand_length_mm, HAND_LENGTH_MM_MIN, HAND_LENGTH_MM_MAX, "mm")
    faults.raise_any()
    by_circumference = min(GLOVES, key=lambda row: (abs(row[1] - hand_mm), -row[0]))[0]
    if hand_length_mm is None:
        return by_circumference
    by_length = min(
        ((abs(length - hand_length_mm), -size) for size, _, length in GLOVES if length is not None),
    )
    return max(by_circumference, -by_length[1])


def hand_mm(size: int) -> int:
    """Hand circumference in mm printed for a whole glove size, 4 to 13. Raises UnusableInput for any other."""
    printed = {row[0]: row[1] for row in GLOVES}
    faults = Faults()
    faults.unless(
        size in printed, "size", f"must be a whole glove size from {GLOVES[0][0]} to {GLOVES[-1][0]}, not {size}"
    )
    faults.raise_any()
    return printed[size]
