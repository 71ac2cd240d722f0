"""Person-hours and crew-days left, against hand calculation, simulation and properties."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.effort import (
    Crew,
    CrewDay,
    DayRecord,
    Rates,
    Span,
    Standing,
    expected_stems,
    learned_rate,
    starting_rates,
    usual_crew,
    work_left,
    work_rate,
)
from reedcrew.trade.effort.spans import quotient, total
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY

START = starting_rates(DEFAULT_POLICY)
CREW = Crew(in_water=10, on_land=4, hours=3.5)


def water(stems, low=None, high=None):
    return Standing(in_water=True, stems=stems, low=low, high=high)


def land(stems, low=None, high=None):
    return Standing(in_water=False, stems=stems, low=low, high=high)


def test_a_worked_example():
    """By hand: 14,000 stems at 100 an hour are 140 h; 10 people × 3.5 h are 35 h a day: 4 days, a quarter in one.

    On land 2,100 at 150 are 14 h, 4 × 3.5 h are 14 h: one day. Together 154 h, 4 days; one day cuts 3,500 + 2,100 of
    16,100 stems. In one day of 3.5 h: 40 people in water and 4 on land.
    """
    left = work_left([water(14_000), land(2_100)], START, CREW)
    assert [side.person_hours.value for side in left.sides] == pytest.approx([140, 14])
    assert left.person_hours.value == pytest.approx(154)
    assert left.crew_days is not None
    assert left.crew_days.value == pytest.approx(4)
    assert left.share_of_day.value == pytest.approx(5_600 / 16_100)
    assert [side.people.value for side in left.sides] == [40, 4]
    assert left.people.value == 44


def test_exact_stems_pass_the_rate_s_limits_on():
    left = work_left([water(14_000)], START, CREW).sides[0]
    assert left.person_hours.low == pytest.approx(14_000 / START.in_water.high)
    assert left.person_hours.high == pytest.approx(14_000 / START.in_water.low)


def test_the_limits_of_a_quotient_hold_95_percent_of_a_simulation():
    """numpy: log-normal stems and rate, for which the method is exact."""
    random = np.random.default_rng(3)
    stems = 10_000 * np.exp(random.normal(0, 0.2, 200_000))
    rate = 120 * np.exp(random.normal(0, 0.3, 200_000))
    span = quotient(
        Span(value=10_000, low=10_000 * np.exp(-1.96 * 0.2), high=10_000 * np.exp(1.96 * 0.2)),
        Span(value=120, low=120 * np.exp(-1.96 * 0.3), high=120 * np.exp(1.96 * 0.3)),
    )
    inside = np.mean((span.low <= stems / rate) & (stems / rate <= span.high))
    assert inside == pytest.approx(0.95, abs=0.003)


def test_independent_sides_add_in_quadrature():
    both = total([Span(value=100, low=70, high=130), Span(value=50, low=10, high=90)])
    assert (both.value, both.low, both.high) == (150, 100, 200)  # 3-4-5


def test_a_crew_without_people_in_water_never_finishes_water():
    left = work_left([water(500), land(100)], START, replace(CREW, in_water=0))
    assert left.crew_days is None
    assert left.share_of_day.value == pytest.approx(100 / 600)
    assert "effort.no_crew_in_water" in [because.code for because in left.reasons]


def test_where_nothing_stands_nothing_is_left():
    left = work_left([water(0, 0, 0)], START, CREW)
    assert (left.person_hours.value, left.people.value, left.share_of_day.value) == (0, 0, 1)
    assert left.crew_days is not None
    assert left.crew_days.high == 0


def test_none_found_may_still_leave_some():
    side = work_left([water(0, 0, 300)], START, CREW).sides[0]
    assert side.person_hours.value == 0
    assert side.person_hours.high == pytest.approx(300 / START.in_water.low)


def test_nobody_is_alone_in_water():
    """100 stems at 100 an hour are done by one person in 3.5 h, who needs a partner (design, H1)."""
    left = work_left([water(100), land(100)], START, CREW)
    assert [side.people.value for side in left.sides] == [2, 1]


def test_an_estimate_without_interval_is_said():
    codes = [because.code for because in work_left([water(500)], START, CREW).reasons]
    assert "effort.stems_without_interval" in codes


@given(
    st.integers(1, 1_000_000),
    st.floats(0, 0.9),
    st.integers(0, 50_000),
    st.floats(0.5, 300),
    st.integers(1, 60),
    st.floats(0.5, 10),
)
def test_limits_hold_the_value_and_more_stems_take_longer(stems, part, cut, hours, people, day_hours):
    learned = learned_rate([DayRecord(stems=cut, person_hours=hours)], 100)
    rates, crew = Rates(in_water=learned, on_land=learned), Crew(in_water=people, on_land=0, hours=day_hours)
    left = work_left([water(stems, int(stems * part), int(stems * (2 - part)) + 1)], rates, crew)
    more = work_left([water(stems * 2, int(stems * part), stems * 3)], rates, crew)
    for span in (left.person_hours, left.crew_days, left.share_of_day, left.people, left.stems):
        assert span is not None
        assert span.low <= span.value <= span.high
    assert left.person_hours.value < more.person_hours.value
    assert left.share_of_day.value >= more.share_of_day.value
    assert 0 <= left.share_of_day.low <= left.share_of_day.high <= 1


def test_the_usual_crew_is_the_middle_one():
    days = [
        CrewDay(in_water=10, on_land=2, person_hours=48),
        CrewDay(in_water=4, on_land=5, person_hours=27),
        CrewDay(in_water=12, on_land=2, person_hours=42),
        CrewDay(in_water=0, on_land=0, person_hours=0),
    ]
    assert usual_crew(days) == Crew(in_water=10, on_land=2, hours=3)
    assert usual_crew(days[-1:]) is None


def test_a_crew_cuts_what_stands_or_what_it_can():
    assert expected_stems(50_000, 4, 4, 60, DEFAULT_POLICY) == 1600
    assert expected_stems(900, 4, 4, 60, DEFAULT_POLICY) == 900
    assert expected_stems(50_000, 4, 4, 60, replace(DEFAULT_POLICY, water_stems_per_hour=40.5)) == 648


def test_a_learned_rate_replaces_the_starting_one():
    rates = Rates(in_water=work_rate(7_000, 98, 100), on_land=work_rate(0, 0, 150))
    assert expected_stems(50_000, 4, 4, 60, DEFAULT_POLICY, rates) == 1152  # (7000 + 200) / 100 = 72 an hour
    assert expected_stems(50_000, 4, 4, 0, DEFAULT_POLICY, rates) == 2400


def test_impossible_work_is_refused():
    with pytest.raises(UnusableInput) as caught:
        expected_stems(-1, -1, 25, 0, DEFAULT_POLICY)
    assert [fault.where for fault in caught.value.faults] == ["stems_standing", "people", "hours"]
    with pytest.raises(UnusableInput) as caught:
        work_left([water(-1, 5, 1), water(3, 5, 9)], START, Crew(in_water=-1, on_land=0, hours=0))
    assert [fault.where for fault in caught.value.faults] == [
        *("standing[0].stems", "standing[0].low", "standing[1].low", "standing", "crew.in_water", "crew.hours"),
    ]
