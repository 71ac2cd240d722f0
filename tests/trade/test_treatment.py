import pytest

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.treatment import expected_next


@pytest.mark.parametrize(
    ("year", "code"),
    [
        (None, "treatment.not_begun"),
        (1, "treatment.first_year"),
        (2, "treatment.later_year"),
        (9, "treatment.later_year"),
    ],
)
def test_each_year_says_what_comes_next(year, code):
    assert expected_next(year).code == code


@pytest.mark.parametrize("year", [None, 1, 2])
def test_no_year_promises_a_stand_gone_at_once(year):
    """Rule 8 of the design: a stand takes several years."""
    assert "year" in expected_next(year).text


def test_a_later_year_is_named_with_the_clear_years_that_end_it():
    # Two clear years: reed-and-sampling facts, section 3 (convention).
    assert expected_next(3).values == {"year": 3, "clear_years": 2}


@pytest.mark.parametrize("year", [0, -1])
def test_there_is_no_year_before_the_first(year):
    with pytest.raises(UnusableInput):
        expected_next(year)
