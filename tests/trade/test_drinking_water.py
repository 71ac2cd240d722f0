"""Drinking water: NIOSH, OSHA and 8 CCR § 3395 figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.drinking_water import (
    CEILING_L_PER_H,
    FLUID_OUNCE_L,
    SUPPLY_L_PER_H,
    US_QUART_L,
    litres_per_person_hour,
    supply,
)
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.weather import celsius


@pytest.mark.parametrize(
    ("people", "hours", "rate", "litres"),
    [
        (8, 5, US_QUART_L, 37.854),  # 40 US quarts: 8 CCR § 3395(c), computed
        (12, 3.5, 24 * FLUID_OUNCE_L, 29.810),  # 1008 fl oz: NIOSH's lower rate, computed
        (1, 1, 60 * FLUID_OUNCE_L, 1.420),  # 1.774 L/h is cut to NIOSH's ceiling
        (0, 5, US_QUART_L, 0),
    ],
)
def test_supply(people, hours, rate, litres):
    assert supply(people, hours, rate).litres == pytest.approx(litres, abs=0.001)


def test_a_cut_request_is_said():
    assert [because.code for because in supply(1, 1, 2.0).reasons] == ["drinking_water.rate", "drinking_water.ceiling"]
    assert [because.code for because in supply(1, 1, CEILING_L_PER_H).reasons] == ["drinking_water.rate"]


@pytest.mark.parametrize(
    ("heat_index", "litres"),
    [(None, 0.946), (20, 0.946), (celsius(91), 0.946), (celsius(103), 1.42), (celsius(130), 1.42)],
)
def test_litres_an_hour_by_heat(heat_index, litres):
    assert litres_per_person_hour(heat_index) == pytest.approx(litres, abs=0.001)


@given(st.integers(0, 300), st.floats(0, 24), st.floats(0, 10))
def test_nobody_is_ever_told_to_drink_more_than_the_ceiling(people, hours, rate):
    asked = supply(people, hours, rate)
    assert asked.litres <= people * hours * CEILING_L_PER_H
    assert asked.litres_per_person_hour <= CEILING_L_PER_H
    assert SUPPLY_L_PER_H < CEILING_L_PER_H


def test_every_faulty_field_is_named():
    with pytest.raises(UnusableInput) as caught:
        supply(-1, 25, -0.1)
    assert [fault.where for fault in caught.value.faults] == ["people", "hours", "asked_l_per_h"]
