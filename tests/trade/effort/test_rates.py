"""The work rate learned from records, against worked examples and numpy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.effort import DayRecord, learned_rate, prior_rate, starting_rates, work_rate
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY


def days(*pairs):
    return [DayRecord(stems=stems, person_hours=hours) for stems, hours in pairs]


def test_work_rate_against_a_worked_example():
    # Gamma-Poisson computed with shape 4 + 2300 and 0.04 h + 21.5 h: 106.9638, 95 % 102.6403 to 111.3752. Here the
    # prior is worth 2 h, so 2 h × 2 stems/h + 2300 stems over 2 h + 19.54 h has the same shape and hours.
    rate = work_rate(2300, 19.54, 2.0)
    assert rate.stems_per_hour == pytest.approx(106.9638, abs=0.0001)
    assert (rate.low, rate.high) == pytest.approx((102.6403, 111.3752), abs=0.0001)


def test_a_dispersion_leaves_the_mean_and_widens_the_interval_by_its_root():
    """For many stems the gamma is near normal: half-width about 1.96 × sqrt(dispersion × shape) ÷ hours."""
    plain, wide = work_rate(100_000, 1000, 100), work_rate(100_000, 1000, 100, dispersion=16)
    assert wide.stems_per_hour == plain.stems_per_hour
    assert (wide.high - wide.low) / (plain.high - plain.low) == pytest.approx(4, rel=0.001)
    assert (wide.high - wide.low) / 2 == pytest.approx(1.96 * np.sqrt(16 * 100_200) / 1002, rel=0.001)


def test_without_records_a_rate_is_the_groups_start_with_a_weak_interval():
    """Dispersion 50 makes 2 h × 100 stems a gamma with shape 4; scipy.stats.gamma(4).ppf gives 1.0899 and 8.7673."""
    rate = learned_rate((), 100)
    assert (rate.stems_per_hour, rate.days, rate.person_hours) == (100, 0, 0)
    assert (rate.low, rate.high) == pytest.approx((25 * 1.0899, 25 * 8.7673), rel=0.0001)
    assert rate.reasons[0].code == "effort.rate_start"


def test_the_days_dispersion_is_theirs_and_one_day_of_the_start():
    """By hand: 300 and 500 stems in 4 h each, 100 an hour, 400 due: chi² = 25 + 25; (50 + 50) / 2 = 50."""
    rate = learned_rate(days((300, 4), (500, 4)), 100)
    assert rate.dispersion == pytest.approx(50)
    assert rate.stems_per_hour == pytest.approx(100)
    assert "person-hours: 8, closed days: 2" in rate.reasons[0].text


def test_many_days_give_pearson_s_dispersion():
    """numpy: counts with variance 25 times their mean."""
    random = np.random.default_rng(1)
    hours = random.uniform(5, 20, 400)
    stems = random.normal(120 * hours, 5 * np.sqrt(120 * hours)).round().astype(int)
    rate = learned_rate(days(*zip(stems.tolist(), hours.tolist(), strict=True)), 100)
    due = hours * stems.sum() / hours.sum()
    assert rate.dispersion == pytest.approx(np.sum((stems - due) ** 2 / due) / 399, rel=0.01)
    assert rate.dispersion == pytest.approx(25, rel=0.2)
    assert rate.low < 120 < rate.high


def test_days_without_hours_teach_nothing():
    assert learned_rate(days((400, 0), (300, 4)), 100) == learned_rate(days((300, 4)), 100)


def test_days_that_found_no_stem_lower_the_rate():
    rate = learned_rate(days((0, 8)), 100)
    assert rate.stems_per_hour == pytest.approx(20)  # 2 h × 100 stems over 10 h
    assert 0 < rate.low < 20 < rate.high


@pytest.mark.parametrize(("stems", "implausible"), [(3_500_000, False), (3_600_000, True)])
def test_a_rate_above_3500_stems_an_hour_is_doubted(stems, implausible):
    codes = [because.code for because in work_rate(stems, 1000, 100).reasons]
    assert ("effort.implausible" in codes) is implausible


@given(st.integers(0, 100_000), st.floats(0.1, 5000), st.floats(1, 500))
def test_a_rate_lies_between_the_start_and_the_records(stems, hours, prior):
    rate = work_rate(stems, hours, prior).stems_per_hour
    assert min(prior, stems / hours) - 1e-6 <= rate <= max(prior, stems / hours) + 1e-6


@given(st.lists(st.tuples(st.integers(0, 20_000), st.floats(0.5, 200)), max_size=12), st.floats(1, 2000))
def test_the_interval_holds_the_rate(pairs, prior):
    rate = learned_rate(days(*pairs), prior)
    assert 0 <= rate.low <= rate.stems_per_hour * (1 + 1e-9)
    assert rate.stems_per_hour < rate.high
    assert rate.dispersion >= 1


@given(st.integers(1, 1000), st.floats(1, 100), st.integers(2, 40))
def test_more_days_of_the_same_kind_narrow_the_interval(stems, hours, times):
    one, many = learned_rate(days((stems, hours)), 100), learned_rate(days(*[(stems, hours)] * times), 100)
    assert many.high / many.stems_per_hour < one.high / one.stems_per_hour


@pytest.mark.parametrize(("depth_cm", "rate"), [(0, 150), (1, 100), (60, 100)])  # convention
def test_starting_rates(depth_cm, rate):
    assert prior_rate(depth_cm, DEFAULT_POLICY) == rate
    assert starting_rates(DEFAULT_POLICY).at(depth_cm).stems_per_hour == rate


def test_every_faulty_field_is_named():
    with pytest.raises(UnusableInput) as caught:
        work_rate(-1, -1, 0, days=-1, dispersion=0.5)
    assert [fault.where for fault in caught.value.faults] == [
        "stems",
        "person_hours",
        "prior_stems_per_hour",
        "days",
        "dispersion",
    ]
