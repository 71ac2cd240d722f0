"""Densities and totals against printed examples and against scipy."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.sampling import (
    Moments,
    Stratum,
    ZoneSample,
    moments,
    moments_of_sums,
    ratio_of_totals,
    sample_mean,
    sample_total,
    standard_error,
    stratified_total,
    zone_density,
    zone_total,
)
from tests.trade.sampling.examples import AREAS, FPC, FREESE, LEVY, QUARTERS, TELEVISION, WHOLE_METRES

counts = st.lists(st.integers(0, 300), min_size=2, max_size=15)


def codes(estimate):
    return [because.code for because in estimate.reasons]


def strata_of(samples, sizes):
    return [
        Stratum(name=f"zone {number}", units=size, sample=moments(sample))
        for number, (size, sample) in enumerate(zip(sizes, samples, strict=True))
    ]


def test_moments_of_the_printed_example():
    # Freese: sum 214, mean 10.7, variance printed 13.4842; the sum of squares is 2546.
    found = moments(FREESE)
    assert (found.n, found.total, found.mean) == (20, 214, 10.7)
    assert found.variance == pytest.approx(13.484211, abs=5e-7)
    assert found.sd == pytest.approx(3.672085, abs=5e-7)
    assert moments_of_sums(20, 214, 2546) == found


@pytest.mark.parametrize(("confidence", "low", "high"), [(0.95, 9.162847, 12.237153), (0.90, 9.430095, 11.969905)])
def test_the_mean_of_a_simple_random_sample(confidence, low, high):
    # Freese prints mean 10.7 and standard error 0.734; the limits are computed with t of 19 degrees of freedom.
    found = sample_mean(moments(FREESE), units=100, confidence=confidence)
    assert (found.value, round(found.se, 3), found.df) == (10.7, 0.734, 19)
    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-7)
    assert codes(found) == ["sampling.t_finite"]


def test_without_a_known_size_there_is_no_finite_correction():
    found = sample_mean(moments(FREESE))
    assert found.se == pytest.approx(0.821103, abs=5e-7)
    assert codes(found) == ["sampling.t"]


def test_the_total_of_a_simple_random_sample():
    # Freese prints 1070 and 73.4.
    found = sample_total(moments(FREESE), units=100)
    assert found.value == pytest.approx(1070)
    assert round(found.se, 1) == 73.4
    assert (found.low, found.high) == pytest.approx((916.2847, 1223.7153), abs=5e-5)


def test_the_same_estimator_in_another_book():
    # Levy and Lemeshow print total 729, standard error 85.94882, limits 508.0615 to 949.9385.
    found = sample_total(moments(LEVY), units=54)
    assert found.value == pytest.approx(729)
    assert found.se == pytest.approx(85.94882, abs=5e-6)
    assert (found.low, found.high) == pytest.approx((508.0615, 949.9385), abs=5e-5)


@given(counts, st.integers(1, 1000), st.floats(0.5, 0.999))
def test_limits_are_those_of_student(sample, more, confidence):
    """scipy's own distribution, with the finite correction written out."""
    found = moments(sample)
    assume(found.variance)
    units = found.n + more
    se = stats.sem(sample) * math.sqrt(1 - found.n / units)
    low, high = stats.t.interval(confidence, found.n - 1, loc=found.mean, scale=se)
    estimate = sample_mean(found, units=units, confidence=confidence)
    assert estimate.low == pytest.approx(max(low, sum(sample) / units))
    assert estimate.high == pytest.approx(high)


def test_a_stratified_total_of_the_statistical_packages():
    # Stata and R print mean 5.448148 with standard error 0.6160407, without finite correction 0.7412683.
    found = stratified_total(strata_of([sample for _, sample in FPC], [size for size, _ in FPC])).estimate
    assert found.value / 27 == pytest.approx(5.448148, abs=5e-7)
    assert found.se / 27 == pytest.approx(0.6160407, abs=5e-8)
    assert (found.value, found.se, found.df) == pytest.approx((147.1, 16.633100, 5.988561), abs=5e-7)
    assert (found.low, found.high) == pytest.approx((106.3814, 187.8186), abs=5e-5)
    uncorrected = math.hypot(*(size * standard_error(moments(sample), None) for size, sample in FPC)) / 27
    assert uncorrected == pytest.approx(0.7412683, abs=5e-8)


def test_a_stratified_total_from_summaries():
    # Scheaffer and others: about 21 degrees of freedom.
    strata = [
        Stratum(name=str(size), units=size, sample=Moments(n=n, mean=mean, variance=sd**2, total=n * mean))
        for size, n, mean, sd in TELEVISION
    ]
    found = stratified_total(strata).estimate
    assert (found.value, found.se, found.df) == pytest.approx((8579.25, 435.1163, 21.0808), abs=5e-5)
    assert stats.t.ppf(0.975, found.df) == pytest.approx(2.079129, abs=5e-7)


@pytest.mark.parametrize(
    ("samples", "quadrat_m2", "total", "se", "df", "low", "high"),
    [
        (WHOLE_METRES, 1, 15_822.0, 786.2938, 11.7406, 14_104.606, 17_539.394),
        (QUARTERS, 0.25, 16_056.0, 824.9848, 11.8740, 14_256.394, 17_855.606),
    ],
)
def test_stems_of_a_stand_in_three_zones(samples, quadrat_m2, total, se, df, low, high):
    found = stratified_total(strata_of(samples, [area / quadrat_m2 for area in AREAS]))
    estimate = found.estimate
    assert (estimate.value, estimate.se, estimate.df) == pytest.approx((total, se, df), abs=5e-5)
    assert (estimate.low, estimate.high) == pytest.approx((low, high), abs=5e-4)
    assert sum(part.estimate.value for part in found.parts) == pytest.approx(total)
    assert codes(estimate) == ["sampling.stratified"]


@given(st.lists(st.tuples(counts, st.integers(16, 5000)), min_size=2, max_size=6))
def test_degrees_of_freedom_lie_between_the_fewest_and_the_sum(zones):
    """A property of Satterthwaite's form, over the strata that scatter."""
    strata = strata_of([sample for sample, _ in zones], [size for _, size in zones])
    scattered = [each.sample.n - 1 for each in strata if each.sample.variance]
    assume(scattered)
    found = stratified_total(strata).estimate
    assert min(scattered) - 1e-6 <= found.df <= sum(scattered) + 1e-6
    assert found.low <= found.value <= found.high
    assert found.low >= sum(each.sample.total for each in strata) - 1e-6


@given(counts, st.integers(16, 5000))
def test_one_stratum_alone_is_a_simple_random_sample(sample, units):
    stratum = Stratum(name="all", units=units, sample=moments(sample))
    assert stratified_total([stratum]).estimate == sample_total(moments(sample), units=units)


@given(counts, st.integers(16, 5000), st.integers(2, 9))
def test_a_density_does_not_depend_on_how_the_area_is_measured(sample, units, factor):
    """Quadrats of k m² on an area of k times as many m² have the density divided by k and the same total."""
    small = ZoneSample(name="a", area_m2=units, quadrat_m2=1, sample=moments(sample))
    large = ZoneSample(name="a", area_m2=units * factor, quadrat_m2=factor, sample=moments(sample))
    assert zone_density(small).value == pytest.approx(zone_density(large).value * factor)
    assert zone_total(small).high == pytest.approx(zone_total(large).high)


def test_one_quadrat_claims_no_interval():
    found = sample_mean(moments([12]), units=100)
    assert (found.value, found.se, found.low, found.high) == (12, None, None, None)
    assert codes(found) == ["sampling.one"]


def test_one_quadrat_in_a_zone_leaves_the_total_without_an_interval():
    found = stratified_total(strata_of([(12, 15, 9), (40,)], [100, 50]))
    assert found.estimate.value == pytest.approx(100 * 12 + 50 * 40)
    assert (found.estimate.low, found.without_interval) == (None, ("zone 1",))
    assert "zone 1" in found.estimate.reasons[0].text


def test_what_is_counted_whole_is_not_uncertain():
    found = sample_total(moments([3, 5, 9]), units=3)
    assert (found.se, found.low, found.value, found.high) == (0, 17, 17, 17)
    assert codes(found) == ["sampling.all"]
    # Beside it a zone that was sampled keeps its own scatter and degrees of freedom.
    mixed = stratified_total(strata_of([(3, 5, 9), FREESE], [3, 100])).estimate
    assert (mixed.value, mixed.se, mixed.df) == pytest.approx((1087, 73.441706, 19), abs=5e-7)
    assert stratified_total(strata_of([(3, 5, 9), (7,)], [3, 1])).estimate.high == 24


def test_no_stem_seen_is_not_no_stem():
    # Garwood: 0 counted, 95 % upper limit 3.689 (epitools), here of 12 quadrats among 100.
    found = sample_mean(moments([0] * 12), units=100)
    assert (found.value, found.low) == (0, 0)
    assert found.high == pytest.approx(3.6889 / 12 * 0.88, abs=5e-5)
    assert codes(found) == ["sampling.none_seen"]


def test_empty_zones_alone_sum_up_their_limits():
    found = stratified_total(strata_of([[0] * 12, [0] * 6], [100, 50])).estimate
    assert (found.value, found.low, found.df) == (0, 0, None)
    assert found.high == pytest.approx(3.6889 * (100 / 12 * 0.88 + 50 / 6 * 0.88), abs=5e-3)


def test_an_empty_zone_among_others_is_named():
    found = stratified_total(strata_of([FREESE, [0] * 6], [100, 50])).estimate
    assert "zone 1" in found.reasons[-1].text


def test_counts_without_scatter_are_doubted():
    found = sample_mean(moments([5, 5, 5]), units=100)
    assert (found.low, found.high) == (5, 5)
    assert codes(found) == ["sampling.t_finite", "sampling.no_spread"]


def test_the_lower_limit_is_never_below_what_was_counted():
    found = sample_total(moments([0, 0, 0, 40]), units=10)
    assert found.low == pytest.approx(40)
    assert "sampling.raised" in codes(found)


def test_quadrats_that_cover_more_than_the_zone_claim_no_interval():
    zone = ZoneSample(name="a", area_m2=3, quadrat_m2=1, sample=moments([1, 2, 3, 4, 5]))
    assert zone_density(zone).low is None
    assert codes(zone_density(zone)) == ["sampling.covers_more"]


@pytest.mark.parametrize(("stems", "doubted"), [(250, False), (251, True)])
def test_more_than_a_thousand_stems_on_a_square_metre_are_doubted(stems, doubted):
    zone = ZoneSample(name="a", area_m2=50, quadrat_m2=0.25, sample=moments([stems, stems]))
    assert ("sampling.dense" in codes(zone_density(zone))) is doubted


def test_a_zone_without_area_has_a_density_and_no_total():
    zone = ZoneSample(name="a", area_m2=None, quadrat_m2=0.25, sample=moments([3, 5]))
    assert zone_density(zone).value == 16
    with pytest.raises(UnusableInput, match="area_m2"):
        zone_total(zone)


def test_the_fall_from_one_survey_to_another():
    # Computed: ratio 0.120086, 95 % 0.085963 to 0.167754.
    found = ratio_of_totals(15_822, 786.2938, 1_900, 310)
    assert (found.ratio, found.low, found.high) == pytest.approx((0.120086, 0.085963, 0.167754), abs=5e-7)


@pytest.mark.parametrize(("se", "later"), [(None, 1900), (310, 0)])
def test_a_ratio_without_scatter_or_stems_claims_no_interval(se, later):
    found = ratio_of_totals(15_822, se, later, 310)
    assert (found.ratio, found.low, found.high) == (later / 15_822, None, None)


@pytest.mark.parametrize(
    ("judge", "fields"),
    [
        (lambda: moments([]), ["values"]),
        (lambda: moments([1, -1, math.nan]), ["values[1]", "values[2]"]),
        (lambda: moments_of_sums(0, -1, 0), ["n", "total", "squares"]),
        (lambda: moments_of_sums(2, 10, 49), ["squares"]),
        (lambda: sample_mean(moments([1, 2]), units=0, confidence=1), ["units", "confidence"]),
        (lambda: stratified_total([]), ["strata"]),
        (lambda: stratified_total(strata_of([[1]], [-1]), 0.4), ["strata[0].units", "confidence"]),
        (
            lambda: zone_density(ZoneSample(name="a", area_m2=0, quadrat_m2=0, sample=moments([1])), 0.1),
            ["area_m2", "quadrat_m2", "confidence"],
        ),
        (lambda: ratio_of_totals(0, -1, -1, math.inf, 0), ["earlier", "later", "earlier_se", "later_se", "confidence"]),
    ],
)
def test_every_faulty_field_is_named(judge, fields):
    with pytest.raises(UnusableInput) as caught:
        judge()
    assert [fault.where for fault in caught.value.faults] == fields
