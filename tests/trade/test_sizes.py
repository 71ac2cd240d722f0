"""Sizes against published tables: 46 CFR part 160 (life jackets), EN 420:2003 (gloves), ISO 19407 anchors (boots)."""

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.items import JacketClass
from reedcrew.trade.sizes import (
    GLOVES,
    ShoeScale,
    boot_eu,
    foot_mm,
    glove_size,
    hand_mm,
    jacket_class,
    nearest_half_size,
    size_on,
    wader_labels,
)

half_sizes = st.integers(40, 110).map(lambda halves: Decimal(halves) / 2)
scales = st.sampled_from(ShoeScale)


@pytest.mark.parametrize(
    ("mass_kg", "expected"),
    [
        # 46 CFR 160.047-2 and 160.060-2: adult over 90 lb, youth 50 to 90 lb, child under 50 lb.
        (41.0, JacketClass.ADULT),
        (40.9, JacketClass.ADULT),
        (40.8, JacketClass.YOUTH),
        (40.0, JacketClass.YOUTH),
        (22.7, JacketClass.YOUTH),
        (22.6, JacketClass.CHILD),
        (22.0, JacketClass.CHILD),
        # Infant under 30 lb (13.6 kg), from memory: no class.
        (13.6, JacketClass.CHILD),
        (13.5, None),
        (13.0, None),
    ],
)
def test_jacket_class_follows_body_mass(mass_kg, expected):
    assert jacket_class(mass_kg) is expected


@given(st.floats(2, 400), st.floats(2, 400))
def test_heavier_people_never_get_a_smaller_jacket_class(one, other):
    order = [None, JacketClass.CHILD, JacketClass.YOUTH, JacketClass.ADULT]
    lighter, heavier = sorted((one, other))
    assert order.index(jacket_class(lighter)) <= order.index(jacket_class(heavier))


@pytest.mark.parametrize("mass_kg", [0, -5, 1.9, 401, math.nan, math.inf])
def test_jacket_class_refuses_an_impossible_mass(mass_kg):
    with pytest.raises(UnusableInput, match="mass_kg"):
        jacket_class(mass_kg)


@pytest.mark.parametrize(
    ("boot", "labels"),
    [
        # H5: label from the boot size up to one size above.
        ("42", ("42", "43")),
        ("42.5", ("43",)),
        ("42.0", ("42", "43")),
        ("35.5", ("36",)),
    ],
)
def test_waders_fit_from_the_boot_size_to_one_above(boot, labels):
    assert wader_labels(Decimal(boot)) == labels


@given(half_sizes)
def test_no_wader_label_is_smaller_than_the_boot_or_more_than_one_above(boot):
    labels = [int(label) for label in wader_labels(boot)]
    assert labels
    assert all(boot <= label <= boot + 1 for label in labels)
    assert labels == sorted(labels)


@pytest.mark.parametrize("boot", ["42.3", "19.5", "55.5", "NaN", "Infinity", "-42"])
def test_waders_refuse_an_impossible_boot_size(boot):
    with pytest.raises(UnusableInput, match="boot_eu"):
        wader_labels(Decimal(boot))


@pytest.mark.parametrize(
    ("scale", "size", "millimetres"),
    [
        # Anchor points printed with reference to ISO 19407.
        (ShoeScale.UK, "6", 245.53),
        (ShoeScale.UK, "10", 279.4),
        (ShoeScale.EU, "39", 246.6),
        (ShoeScale.EU, "44", 280.0),
    ],
)
def test_foot_length_meets_the_published_anchors(scale, size, millimetres):
    assert float(foot_mm(scale, Decimal(size))) == pytest.approx(millimetres, abs=0.07)


# Foot mm; EU, UK, US men, US women (men + 1.5) raw; nearest half of each. Computed from the published formulas.
BOOTS = [
    (220, (35.00, 2.98, 3.98, 5.48), ("35", "3", "4", "5.5")),
    (230, (36.50, 4.17, 5.17, 6.67), ("36.5", "4", "5", "6.5")),
    (240, (38.00, 5.35, 6.35, 7.85), ("38", "5.5", "6.5", "8")),
    (250, (39.50, 6.53, 7.53, 9.03), ("39.5", "6.5", "7.5", "9")),
    (260, (41.00, 7.71, 8.71, 10.21), ("41", "7.5", "8.5", "10")),
    (270, (42.50, 8.89, 9.89, 11.39), ("42.5", "9", "10", "11.5")),
    (280, (44.00, 10.07, 11.07, 12.57), ("44", "10", "11", "12.5")),
    (300, (47.00, 12.43, 13.43, 14.93), ("47", "12.5", "13.5", "15")),
]
SHOP_SCALES = (ShoeScale.EU, ShoeScale.UK, ShoeScale.US_MEN, ShoeScale.US_WOMEN)


@pytest.mark.parametrize(("length_mm", "raw", "nearest"), BOOTS)
def test_boot_scales_match_the_table(length_mm, raw, nearest):
    length = Fraction(length_mm)
    assert [float(size_on(scale, length)) for scale in SHOP_SCALES] == pytest.approx(raw, abs=0.005)
    assert [nearest_half_size(scale, length) for scale in SHOP_SCALES] == [Decimal(size) for size in nearest]


@pytest.mark.parametrize(
    ("scale", "size", "stored"),
    [
        (ShoeScale.FOOT_MM, "280", "44"),
        (ShoeScale.FOOT_MM, "281", "44.5"),  # 44.15: nearest would be 44, and the boot would pinch
        (ShoeScale.UK, "6", "39"),  # 38.83
        (ShoeScale.UK, "10", "44"),  # 43.91
        (ShoeScale.US_MEN, "10", "43"),  # foot 270.93 mm, 42.64
        (ShoeScale.US_WOMEN, "11.5", "43"),
        (ShoeScale.EU, "42.5", "42.5"),
        (ShoeScale.EU, "42.1", "42.5"),
    ],
)
def test_a_boot_size_is_stored_in_eu_halves_rounded_up(scale, size, stored):
    assert boot_eu(scale, Decimal(size)) == Decimal(stored)


@given(half_sizes)
def test_a_stored_boot_size_survives_the_way_over_foot_length(size):
    assert boot_eu(ShoeScale.EU, size) == size
    assert size_on(ShoeScale.EU, foot_mm(ShoeScale.EU, size)) == Fraction(size)


@given(scales, st.decimals(min_value=-20, max_value=400, places=1))
def test_size_and_foot_length_are_inverse_on_every_scale(scale, size):
    assert size_on(scale, foot_mm(scale, size)) == Fraction(size)


@given(st.decimals(min_value=125, max_value=350, places=1))
def test_a_stored_boot_is_never_shorter_than_the_foot_nor_a_whole_size_longer(length_mm):
    stored = boot_eu(ShoeScale.FOOT_MM, length_mm)
    slack = foot_mm(ShoeScale.EU, stored) - Fraction(length_mm)
    assert 0 <= slack < foot_mm(ShoeScale.EU, Decimal("2.5"))


@pytest.mark.parametrize(
    ("scale", "size"),
    [
        (ShoeScale.EU, "19"),
        (ShoeScale.EU, "56"),
        (ShoeScale.FOOT_MM, "42"),
        (ShoeScale.UK, "43"),
        (ShoeScale.UK, "NaN"),
    ],
)
def test_a_size_on_the_wrong_scale_is_refused(scale, size):
    with pytest.raises(UnusableInput, match="size"):
        boot_eu(scale, Decimal(size))


@pytest.mark.parametrize(
    ("circumference_mm", "size"),
    [(160, 6), (178, 7), (195, 8), (210, 8), (220, 9), (240, 9), (250, 10)],  # nearest size of EN 420:2003
)
def test_glove_size_is_the_nearest_by_circumference(circumference_mm, size):
    assert glove_size(circumference_mm) == size


@pytest.mark.parametrize(
    ("circumference_mm", "length_mm", "size"),
    [(200, 195, 9), (200, 171, 8), (203, 182, 8), (254, 160, 10), (165, None, 7)],
)
def test_a_long_hand_takes_the_larger_glove_and_a_tie_too(circumference_mm, length_mm, size):
    assert glove_size(circumference_mm, length_mm) == size


@pytest.mark.parametrize(
    ("size", "circumference_mm"),
    [(6, 152), (7, 178), (8, 203), (9, 229), (10, 254), (11, 279)],  # EN 420:2003
)
def test_printed_circumferences_are_the_size_in_inches(size, circumference_mm):
    assert hand_mm(size) == circumference_mm == round(size * 25.4)


@pytest.mark.parametrize("size", [row[0] for row in GLOVES])
def test_a_glove_size_survives_the_way_over_the_hand(size):
    assert glove_size(hand_mm(size)) == size


@given(st.floats(90, 340), st.floats(90, 340))
def test_a_bigger_hand_never_gets_a_smaller_glove(one, other):
    small, big = sorted((one, other))
    assert glove_size(small) <= glove_size(big)


def test_glove_size_names_every_faulty_measure():
    with pytest.raises(UnusableInput) as caught:
        glove_size(20, 900)
    assert [fault.where for fault in caught.value.faults] == ["hand_mm", "hand_length_mm"]


def test_there_is_no_glove_of_size_three():
    with pytest.raises(UnusableInput, match="from 4 to 13"):
        hand_mm(3)
