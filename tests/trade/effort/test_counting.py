"""Stems from bundles, against worked examples of sampling theory."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.effort import Counted, counted, from_bundles, together
from reedcrew.trade.errors import UnusableInput

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


def test_independent_tallies_add_their_half_widths_in_quadrature():
    assert together([(100, 70, 130), (200, 160, 240), (50, None, None)]) == (350, 300, 400)  # 3-4-5
    assert together([]) == (0, 0, 0)
