"""Poisson limits, clumping and the negative binomial against printed values and scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.sampling import (
    Spread,
    chance_of_empty,
    clumped_mean_limits,
    dispersion,
    moments,
    negative_binomial_k,
    poisson_limits,
    sample_mean,
)
from tests.trade.sampling.examples import CLUMPED


@pytest.mark.parametrize(
    ("count", "confidence", "low", "high"),
    [
        (0, 0.95, 0, 3.6889),  # epitools prints 3.689
        (1, 0.95, 0.0253, 5.5716),  # computed with scipy, as the next three
        (2, 0.95, 0.2422, 7.2247),
        (3, 0.95, 0.6187, 8.7673),
        (5, 0.95, 1.6235, 11.6683),
        (10, 0.95, 4.7954, 18.3904),  # calculatorhub.com prints 4.80 to 18.39
        (25, 0.95, 16.1787, 36.9049),  # graphpad.com prints 16.18 to 36.90, and the next two
        (25, 0.90, 17.3821, 34.9161),
        (25, 0.99, 13.9954, 41.0004),
        (50, 0.95, 37.1110, 65.9188),  # computed
        (100, 0.95, 81.3640, 121.6268),
    ],
)
def test_exact_poisson_limits(count, confidence, low, high):
    found = poisson_limits(count, confidence)
    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-5)


@given(st.integers(1, 10_000), st.floats(0.5, 0.999))
def test_poisson_limits_are_those_of_chi_square(count, confidence):
    found, tail = poisson_limits(count, confidence), (1 - confidence) / 2
    assert found.low == pytest.approx(stats.chi2.ppf(tail, 2 * count) / 2)
    assert found.high == pytest.approx(stats.chi2.ppf(1 - tail, 2 * count + 2) / 2)


def test_a_clumped_stand():
    """Computed: sum 81, mean 6.75, variance 64.204545, dispersion 104.6296 (p 2.2e-17), k 0.699895."""
    sample = moments(CLUMPED)
    assert (sample.total, sample.mean) == (81, 6.75)
    assert sample.variance == pytest.approx(64.204545, abs=5e-7)
    found = dispersion(sample)
    assert found.statistic == pytest.approx(104.6296, abs=5e-5)
    assert found.p_clumped == pytest.approx(2.2e-17, rel=0.05)
    assert (found.spread, found.reasons[0].code) == (Spread.CLUMPED, "sampling.clumped")
    k = negative_binomial_k(sample)
    assert k == pytest.approx(0.699895, abs=5e-7)
    assert chance_of_empty(sample.mean, k) == pytest.approx(0.191041, abs=5e-7)
    assert chance_of_empty(sample.mean, k) == pytest.approx(stats.nbinom(n=k, p=k / (k + 6.75)).pmf(0))


def test_three_intervals_of_a_clumped_stand():
    """Computed: negative binomial 3.3169 to 13.7363, t 1.6589 to 11.8411, plain Poisson 5.3605 to 8.3896."""
    sample = moments(CLUMPED)
    clumped = clumped_mean_limits(sample.mean, negative_binomial_k(sample), sample.n)
    student, plain = sample_mean(sample), poisson_limits(81)
    assert (clumped.low, clumped.high) == pytest.approx((3.3169, 13.7363), abs=5e-5)
    assert (student.low, student.high) == pytest.approx((1.6589, 11.8411), abs=5e-5)
    assert (plain.low / 12, plain.high / 12) == pytest.approx((5.3605, 8.3896), abs=5e-5)


@pytest.mark.parametrize(
    ("sample", "spread"),
    [
        ([5, 6, 4, 7, 5, 3, 6], Spread.RANDOM),
        ([5, 5, 5, 5, 5, 6], Spread.EVEN),
        ([0, 0, 30, 0], Spread.CLUMPED),
        ([0, 0, 0], Spread.UNKNOWN),
        ([12], Spread.UNKNOWN),
    ],
)
def test_how_stems_stand(sample, spread):
    found = dispersion(moments(sample))
    assert found.spread is spread
    assert len(found.reasons) == 1


@given(st.lists(st.integers(0, 200), min_size=2, max_size=20).filter(any))
def test_the_dispersion_test_is_that_of_chi_square(sample):
    found = dispersion(moments(sample))
    assert found.p_clumped == pytest.approx(stats.chi2.sf(found.statistic, len(sample) - 1), abs=1e-12)


@pytest.mark.parametrize("sample", [[12], [5, 5, 5], [0, 0], [0, 30]])
def test_no_k_where_it_says_nothing(sample):
    assert negative_binomial_k(moments(sample)) is None


@pytest.mark.parametrize(
    ("judge", "fields"),
    [
        (lambda: poisson_limits(-1, 2), ["count", "confidence"]),
        (lambda: chance_of_empty(-1, 0), ["mean", "k"]),
        (lambda: clumped_mean_limits(0, 0, 0, 0), ["mean", "k", "n", "confidence"]),
    ],
)
def test_every_faulty_field_is_named(judge, fields):
    with pytest.raises(UnusableInput) as caught:
        judge()
    assert [fault.where for fault in caught.value.faults] == fields
