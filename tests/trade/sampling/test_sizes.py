"""How many quadrats, against printed answers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.sampling import (
    Allocation,
    PlannedStratum,
    change_size,
    elzinga_size,
    kupper_hafner,
    moments,
    permanent_quadrats_to_detect,
    raw_size,
    sample_size,
    stratified_size,
    temporary_quadrats_to_detect,
)
from tests.trade.sampling.examples import AREAS, FREESE, WHOLE_METRES

# Mississippi Administrative Code 11-8-2-A, addendum K.
MISSISSIPPI = (7, 10, 4, 5, 10, 11, 3, 7, 10, 10)

strata = st.lists(st.tuples(st.floats(5, 5000), st.floats(0, 100)), min_size=1, max_size=5)


def planned(zones):
    return [PlannedStratum(name=str(number), units=units, sd=sd) for number, (units, sd) in enumerate(zones)]


def test_the_code_of_mississippi():
    # Printed 28: one-tailed t of 90 % with 9 degrees of freedom, 1.383; 10 % of the mean.
    sample = moments(MISSISSIPPI)
    needed = raw_size(1.383, sample.sd, sample.mean / 10)
    assert needed == pytest.approx(27.2775, abs=5e-5)
    assert math.ceil(needed) == 28


@pytest.mark.parametrize(
    ("mean", "variance", "n", "printed"),
    [(48.83, 188.06, 72, 13.20), (64.40, 134.67, 20, 5.72), (51.95, 204.58, 20, 13.36)],
)
def test_the_mine_land_report_of_colorado(mean, variance, n, printed):
    # One-tailed t of 90 %, 10 % of the mean.
    needed = raw_size(stats.t.ppf(0.90, n - 1), math.sqrt(variance), mean / 10)
    assert round(needed, 2) == printed


def test_a_normal_quantile():
    # derekogle.com prints 6765.06, rounded up to 6766.
    needed = raw_size(1.645, 500, 10)
    assert (round(needed, 2), math.ceil(needed)) == (6765.06, 6766)


@pytest.mark.parametrize(("units", "quadrats"), [(None, 48), (100, 33)])
def test_iterated_quadrats_for_a_tenth_of_the_mean(units, quadrats):
    # Computed from Freese's data by iterating t, two-tailed 95 %; his finite form.
    assert sample_size(moments(FREESE).sd, 1.07, units=units) == quadrats


@given(st.floats(0.1, 50), st.floats(0.1, 50), st.integers(2, 400))
def test_the_number_is_the_fewest_that_is_enough(sd, half_width, units):
    """The half-width of scipy's t with the finite correction: reached with n, not with one fewer."""

    def reached(n):
        return stats.t.ppf(0.975, n - 1) * sd / math.sqrt(n) * math.sqrt(max(0, 1 - n / units))

    n = sample_size(sd, half_width, units=units)
    assert 2 <= n <= units
    assert reached(n) <= half_width * (1 + 1e-9)
    if n > 2:
        assert reached(n - 1) > half_width * (1 - 1e-9)


def test_the_example_of_elzinga_and_others():
    # From memory: mean 25, s 7, 95 %, half-width 5, z 1.96: 7.5, so 8; table 15; with 50 quadrats in all 12.
    assert raw_size(1.96, 7, 5) == pytest.approx(7.5295, abs=5e-5)
    assert kupper_hafner(8) == 15
    assert (elzinga_size(7, 5), elzinga_size(7, 5, units=50)) == (15, 12)


TABLE = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 40, 50, 100)


@pytest.mark.parametrize(
    ("confidence", "row"),
    [
        (0.80, (4, 6, 7, 9, 10, 11, 13, 14, 15, 17, 19, 23, 29, 35, 41, 52, 64, 119)),
        (0.90, (5, 6, 8, 9, 11, 12, 13, 15, 16, 17, 20, 23, 29, 35, 41, 53, 64, 119)),
        (0.95, (5, 7, 8, 10, 11, 12, 14, 15, 16, 18, 20, 24, 30, 36, 42, 53, 65, 120)),
        (0.99, (6, 8, 9, 11, 12, 14, 15, 16, 18, 19, 21, 25, 31, 37, 43, 55, 66, 121)),
    ],
)
def test_the_correction_of_kupper_and_hafner(confidence, row):
    # Computed from the formula; their printed table was not seen.
    assert tuple(kupper_hafner(n, confidence) for n in TABLE) == row


def test_quadrats_that_notice_a_change():
    # Elzinga and others, from memory: s 7, 1.64, 1.28, change 5 gives 33.4.
    assert change_size(2 * 7**2, 1.64, 1.28, 5) == pytest.approx(33.4235, abs=5e-5)
    assert temporary_quadrats_to_detect(7, 5) == 34
    assert permanent_quadrats_to_detect(7, 5) == 17
    assert temporary_quadrats_to_detect(7, 5, units=50) == math.ceil(33.571 / (1 + 33.571 / 50))


def test_quadrats_of_one_zone_are_those_of_a_simple_sample():
    assert stratified_size(planned([(100, moments(FREESE).sd)]), 107).n == 33


def test_shares_by_area():
    """n A ÷ ΣA: 50 quadrats on 120, 300 and 80 m² are 12, 30 and 8."""
    zones = planned([(area, moments(sample).sd) for area, sample in zip(AREAS, WHOLE_METRES, strict=True)])
    for half_width in (2000, 1000, 500, 250):
        plan = stratified_size(zones, half_width)
        assert sum(share for _, share in plan.shares) == plan.n
        assert all(
            abs(share - plan.n * area / 500) < 1 or share == 2
            for (_, share), area in zip(plan.shares, AREAS, strict=True)
        )
        assert plan.half_width <= half_width


def test_shares_by_area_and_scatter():
    """Neyman: n N s ÷ ΣNs."""
    zones = planned([(1000, 30), (1000, 10), (2000, 5)])
    plan = stratified_size(zones, 4000, allocation=Allocation.NEYMAN)
    weights = [30_000, 10_000, 10_000]
    for (_, share), weight in zip(plan.shares, weights, strict=True):
        assert abs(share - plan.n * weight / sum(weights)) < 1
    assert plan.n < stratified_size(zones, 4000).n
    assert plan.reasons[0].code == "sampling.size_neyman"


@given(strata, st.floats(1, 100_000), st.sampled_from(Allocation))
def test_a_plan_keeps_to_the_zones_and_to_the_precision(zones, half_width, allocation):
    plan = stratified_size(planned(zones), half_width, allocation=allocation)
    assert sum(share for _, share in plan.shares) == plan.n
    for (units, _sd), (_name, share) in zip(zones, plan.shares, strict=True):
        assert 2 <= share <= math.ceil(units)
    assert plan.half_width <= half_width


def test_zones_without_scatter_get_two_quadrats_each():
    plan = stratified_size(planned([(100, 0), (50, 0), (1, 0)]), 10, allocation=Allocation.NEYMAN)
    assert (plan.shares, plan.half_width) == ((("0", 2), ("1", 2), ("2", 1)), 0)


@pytest.mark.parametrize(
    ("judge", "fields"),
    [
        (lambda: raw_size(0, -1, 0), ["quantile", "sd", "half_width"]),
        (lambda: sample_size(-1, 0, units=0, confidence=1), ["sd", "half_width", "units", "confidence"]),
        (lambda: elzinga_size(-1, 0, units=0, confidence=1), ["sd", "half_width", "units", "confidence"]),
        (lambda: kupper_hafner(0, 0), ["n", "confidence"]),
        (lambda: change_size(-1, 0, 0, 0), ["variance", "change", "z_alpha"]),
        (lambda: temporary_quadrats_to_detect(7, 5, confidence=0, power=0, units=0), ["confidence", "power", "units"]),
        (lambda: stratified_size([], 0, confidence=0), ["strata", "half_width", "confidence"]),
        (lambda: stratified_size(planned([(0, -1)]), 1), ["strata[0].units", "strata[0].sd"]),
    ],
)
def test_every_faulty_field_is_named(judge, fields):
    with pytest.raises(UnusableInput) as caught:
        judge()
    assert [fault.where for fault in caught.value.faults] == fields
