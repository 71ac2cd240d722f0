"""Bleach solutions: V1 = C2 × V2 / C1 against published recipes."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from reedcrew.trade.cleaning import GEAR_CONTACT_MIN, GEAR_MG_L, MG_PER_L_PER_PERCENT, bleach_ml, gear_solution
from reedcrew.trade.errors import UnusableInput

US_GALLON_L = 3.78541


@pytest.mark.parametrize(
    ("target_mg_l", "volume_l", "percent", "millilitres"),
    [
        # Computed from the formula, to 0.01 mL.
        (200, 10, 5.25, 38.10),
        (200, 20, 8.25, 48.48),
        (200, US_GALLON_L, 5.25, 14.42),
        (500, 10, 5, 100.00),
        (500, 20, 6, 166.67),
        (1000, 10, 5.25, 190.48),
        (1000, 10, 8.25, 121.21),
        (5000, 5, 5.25, 476.19),
        # Published recipes that are exact.
        (500, 0.1, 5, 1),  # WHO 2014, annex G: 1 part of 5 % in 100
        (500, 0.1, 2.5, 2),  # the same: 2 parts of 2.5 % in 100
        (1000, 20, 5, 400),  # 400 mL of 5 % made up to 20 L
        (5250, 10, 5.25, 1000),  # 1 + 9
    ],
)
def test_bleach_for_a_target(target_mg_l, volume_l, percent, millilitres):
    assert bleach_ml(target_mg_l, volume_l, percent) == pytest.approx(millilitres, abs=0.01)


@example(5000, 32.3, 0.5)  # as strong as the bleach itself: all of the volume is bleach, and not a rounding more
@given(st.floats(1, 5000), st.floats(0.1, 1000), st.floats(0.5, 15))
def test_the_solution_has_the_strength_asked_for(target_mg_l, volume_l, percent):
    bleach = bleach_ml(target_mg_l, volume_l, percent)
    assert bleach * percent * MG_PER_L_PER_PERCENT / (volume_l * 1000) == pytest.approx(target_mg_l)
    assert bleach <= volume_l * 1000


def test_gear_gets_the_mild_solution_with_its_cautions():
    solution = gear_solution(10, 5.25)
    assert (GEAR_MG_L, GEAR_CONTACT_MIN) == (200, 10)  # Wis. Adm. Code NR 329.04
    assert solution.bleach_ml == pytest.approx(38.10, abs=0.01)
    assert solution.water_l + solution.bleach_ml / 1000 == pytest.approx(10)
    codes = [caution.code for caution in solution.cautions]
    assert codes[:2] == ["cleaning.mud_first", "cleaning.never_mix"]
    assert "cleaning.keep_out_of_water" in codes


@pytest.mark.parametrize(("percent", "warned"), [(4.9, True), (5, False), (9, False), (12, True)])
def test_an_unusual_strength_is_pointed_out(percent, warned):
    assert (gear_solution(10, percent).cautions[0].code == "cleaning.strength") is warned


@pytest.mark.parametrize(
    ("arguments", "fields"),
    [
        ((0, 0, 0), ["target_mg_l", "volume_l", "strength_percent"]),
        ((200, 10, 525), ["strength_percent"]),
        ((6000, 10, 0.5), ["target_mg_l"]),
    ],
)
def test_impossible_solutions_are_refused(arguments, fields):
    with pytest.raises(UnusableInput) as caught:
        bleach_ml(*arguments)
    assert [fault.where for fault in caught.value.faults] == fields
