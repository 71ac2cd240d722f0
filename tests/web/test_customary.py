"""US customary amounts, held to published pairs.

NIST Handbook 44, Appendix C (tables of equivalents) and NIST SP 811, Appendix B.8, both from memory; pairs that safety
rules print in both units as check-values.md has them.
"""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.web.customary import CONVERTED, Customary, customary


@pytest.mark.parametrize(
    ("metric", "unit", "amount", "customary_unit"),
    [
        # Handbook 44, Appendix C: 1 in = 2.54 cm, 1 ft = 0.3048 m, 1 mi = 1.609344 km, 1 sq ft = 0.09290304 m²,
        # 1 lb = 0.45359237 kg, 1 gal = 3.785411784 L, 1 fl oz = 29.5735295625 mL; a thousand of each.
        ("2540", "cm", "1000", "in"),
        ("304.8", "m", "1000", "ft"),
        ("1609.344", "km", "1000", "mi"),
        ("92.90304", "m²", "1000", "sq ft"),
        ("453.59237", "kg", "1000", "lb"),
        ("3785.411784", "L", "1000", "gal"),
        ("29573.5295625", "mL", "1000", "fl oz"),
        # SP 811, B.8: foot per second 0.3048 m/s, mile per hour 1.609344 km/h, square foot per second 0.09290304 m²/s.
        ("304.8", "m/s", "1000", "ft/s"),
        ("1609.344", "km/h", "1000", "mph"),
        ("92.90304", "m²/s", "1000", "ft²/s"),
        # Fixed points: ice melts, water boils, both scales meet.
        ("0", "°C", "32", "°F"),
        ("100", "°C", "212", "°F"),
        ("-40", "°C", "-40", "°F"),
        # Life jackets (46 CFR 160.047-2, 160.060-2) and the lower bound from memory.
        ("40.8", "kg", "90", "lb"),
        ("22.7", "kg", "50", "lb"),
        ("13.6", "kg", "30", "lb"),
        # Heat: rows of the weather service's chart; its wind chill begins at 50 °F and 3 mph (from memory).
        ("26.7", "°C", "80", "°F"),
        ("32.2", "°C", "90", "°F"),
        ("43.3", "°C", "110", "°F"),
        ("10", "°C", "50", "°F"),
        ("4.8", "km/h", "3", "mph"),
        # Cold water: 59 °F in the Canadian boating safety guide, 70 °F for the US Coast Guard.
        ("15", "°C", "59", "°F"),
        ("21.1", "°C", "70", "°F"),
        # Drinking: a quart an hour (8 CCR § 3395), at most 48 fluid ounces (NIOSH).
        ("0.946", "L", "32", "fl oz"),
        ("1.42", "L", "48", "fl oz"),
        # The rule of ten of stream gauging: feet × feet per second.
        ("0.929", "m²/s", "10.0", "ft²/s"),
    ],
)
def test_published_pairs(metric, unit, amount, customary_unit):
    found = customary(Decimal(metric), unit)
    assert (str(found.amount), found.unit) == (amount, customary_unit)
    assert customary(float(metric), unit) == found


def test_a_temperature_by_which_it_is_warmer_has_no_offset():
    """Full sun can add 8.3 °C, 15 °F (National Weather Service)."""
    assert customary(8.3, "°C", is_difference=True) == Customary(Decimal(15), "°F")
    assert str(customary(-0.2, "°C", is_difference=True).amount) == "0"


@pytest.mark.parametrize(
    ("metric", "unit", "amount"),
    [
        (60, "cm", "24"),
        (22, "°C", "72"),
        (22.5, "°C", "73"),  # 72.5: a half goes up
        (-17.8, "°C", "0"),  # -0.04: no minus before nothing
        (-0.3, "cm", "-0.1"),
        (8, "cm", "3.1"),
        (120, "m²", "1290"),
        (2000, "m²", "21500"),
        (0.3, "m/s", "1.0"),
        (0.01, "m/s", "0.03"),  # never nothing where there is something
        (0, "m/s", "0.0"),
        (14, "km/h", "9"),
        (81, "kg", "179"),
        (20, "L", "5.3"),
        (Decimal("0.75"), "L", "25"),
        (60, "mL", "2.0"),
    ],
)
def test_amounts_are_rounded_to_what_is_worth_reading(metric, unit, amount):
    assert str(customary(metric, unit).amount) == amount


def test_what_has_no_customary_amount_gets_none():
    assert [customary(5, unit) for unit in ("h", "%", "mg/L", "stems/m²", "")] == [None] * 5
    assert [customary(value, "cm") for value in (math.nan, math.inf)] == [None, None]


@given(st.floats(-1e6, 1e6), st.sampled_from(CONVERTED))
def test_the_sign_stays_and_more_is_never_less(value, unit):
    """The tables are straight lines that rise, so rounding alone may make two amounts the same."""
    found, more = customary(value, unit), customary(value + abs(value) / 10 + 1, unit)
    if unit != "°C":
        assert (found.amount > 0) == (value > 0)
    if found.unit == more.unit:
        assert found.amount <= more.amount
