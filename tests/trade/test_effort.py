"""Stems from bundles and work rates, against worked examples of sampling theory."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.effort import Counted, counted, expected_stems, from_bundles, prior_rate, work_rate
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY

# Freese, Elementary Forest Sampling, USDA Agriculture Handbook 232 (1962): 20 units of 100.
FREESE = (10, 9, 10, 9, 11, 16, 11, 7, 12, 12, 11, 3, 5, 11, 14, 8, 13, 12, 20, 10)
# Levy and Lemeshow, Sampling of Populations, p. 106: 6 units of 54.
LEVY = (15, 13, 12, 10, 21, 10)


@pytest.mark.parametrize(
    ("bundles", "sample", "confidence", "stems", "low", "high"),
    [
        (100, FREESE, 0.95, 1070, 916.2847, 1223.7153),  # total printed, limits computed (t with 19 df)
        (100, FREESE, 0.90, 1070, 943.0095, 1196.9905),
        (54, LEVY, 0.95, 729, 508.0615, 949.9385),  # all printed
    ],
)
def test_bundles_with_a_sample(bundles, sample, confidence, stems, low, high):
    tally = from_bundles(bundles, sample, confidence)
    assert (tally.stems, tally.how) == (stems, Counted.BUNDLES)
    # Limits are widened to whole stems.
    assert (tally.low, tally.high) == (int(low), int(high) + 1)


def test_one_sampled_bundle_claims_no_interval():
    tally = from_bundles(10, [230])
    assert (tally.stems, tally.low, tally.high) == (2300, None, None)
    assert tally.reasons[0].code == "effort.one_bundle"


def test_when_every_bundle_was_counted_nothing_is_uncertain():
    tally = from_bundles(3, [200, 250, 240])
    assert (tally.low, tally.stems, tally.high) == (690, 690, 690)


def test_counted_stems_stay_as_they_are():
    assert (counted(412).stems, counted(412).how, counted(412).low) == (412, Counted.COUNTED, None)


@given(st.lists(st.integers(1, 600), min_size=2, max_size=12), st.integers(0, 200))
def test_the_interval_holds_the_estimate_and_what_was_counted(sample, others):
    tally = from_bundles(len(sample) + others, sample)
    assert sum(sample) <= tally.low <= tally.stems <= tally.high


@pytest.mark.parametrize(
    ("bundles", "sample", "fields"),
    [
        (3, [1, 2, 3, 4], ["sample"]),
        (3, [], ["sample"]),
        (0, [230], ["bundles"]),
        (5, [230, 0, 9000], ["sample[1]", "sample[2]"]),
    ],
)
def test_every_faulty_field_is_named(bundles, sample, fields):
    with pytest.raises(UnusableInput) as caught:
        from_bundles(bundles, sample)
    assert [fault.where for fault in caught.value.faults] == fields


def test_work_rate_against_a_worked_example():
    # Gamma-Poisson computed with shape 4 + 2300 and 0.04 h + 21.5 h: 106.9638, 95 % 102.6403 to 111.3752. Here the
    # prior is worth 2 h, so 2 h × 2 stems/h + 2300 stems over 2 h + 19.54 h has the same shape and hours.
    rate = work_rate(2300, 19.54, 2.0)
    assert rate.stems_per_hour == pytest.approx(106.9638, abs=0.0001)
    assert (rate.low, rate.high) == pytest.approx((102.6403, 111.3752), abs=0.0001)


def test_without_records_a_rate_is_the_groups_start_and_says_so():
    rate = work_rate(0, 0, 100)
    assert rate.stems_per_hour == 100
    assert "0 person-hours" in rate.reasons[0].text


@pytest.mark.parametrize(("stems", "implausible"), [(3_500_000, False), (3_600_000, True)])
def test_a_rate_above_3500_stems_an_hour_is_doubted(stems, implausible):
    codes = [because.code for because in work_rate(stems, 1000, 100).reasons]
    assert ("effort.implausible" in codes) is implausible


@given(st.integers(0, 100_000), st.floats(0.1, 5000), st.floats(1, 500))
def test_a_rate_lies_between_the_start_and_the_records(stems, hours, prior):
    rate = work_rate(stems, hours, prior).stems_per_hour
    assert min(prior, stems / hours) - 1e-6 <= rate <= max(prior, stems / hours) + 1e-6


@pytest.mark.parametrize(("depth_cm", "rate"), [(0, 150), (1, 100), (60, 100)])  # convention
def test_starting_rates(depth_cm, rate):
    assert prior_rate(depth_cm, DEFAULT_POLICY) == rate


def test_a_crew_cuts_what_stands_or_what_it_can():
    assert expected_stems(50_000, 4, 4, 60, DEFAULT_POLICY) == 1600
    assert expected_stems(900, 4, 4, 60, DEFAULT_POLICY) == 900
    assert expected_stems(50_000, 4, 4, 60, replace(DEFAULT_POLICY, water_stems_per_hour=40.5)) == 648


def test_impossible_work_is_refused():
    with pytest.raises(UnusableInput) as caught:
        expected_stems(-1, -1, 25, 0, DEFAULT_POLICY)
    assert [fault.where for fault in caught.value.faults] == ["stems_standing", "people", "hours"]
    with pytest.raises(UnusableInput) as caught:
        work_rate(-1, -1, 0)
    assert [fault.where for fault in caught.value.faults] == ["stems", "person_hours", "prior_stems_per_hour"]
