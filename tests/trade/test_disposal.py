"""Rule 6 of the design: piles, bags, days in the sun."""

import datetime
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.disposal import STEMS_PER_BAG, SeedHeads, Way, bag_sun_end, bags_for, disposal
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY


@pytest.mark.parametrize(
    ("day", "heads", "way", "code"),
    [
        ((7, 20), SeedHeads.NONE, Way.PILE, "disposal.no_heads"),
        ((7, 20), SeedHeads.UNKNOWN, Way.PILE, "disposal.look_for_heads"),
        ((7, 20), SeedHeads.PRESENT, Way.BAG, "disposal.heads_present"),
        # Convention: from mid-August heads may carry seed where nobody looked.
        ((8, 14), SeedHeads.UNKNOWN, Way.PILE, "disposal.look_for_heads"),
        ((8, 15), SeedHeads.UNKNOWN, Way.BAG, "disposal.heads_possible"),
        ((9, 20), SeedHeads.NONE, Way.PILE, "disposal.no_heads"),
        ((1, 20), SeedHeads.UNKNOWN, Way.BAG, "disposal.heads_possible"),
    ],
)
def test_pile_or_bag(day, heads, way, code):
    result = disposal(datetime.date(2025, *day), heads, DEFAULT_POLICY)
    assert (result.way, result.reasons[0].code) == (way, code)
    assert (result.sun_until is None) is (way is Way.PILE)


@pytest.mark.parametrize(
    ("bagged_on", "sun_days", "until"),
    [((2025, 9, 20), 14, (2025, 10, 4)), ((2025, 12, 25), 14, (2026, 1, 8)), ((2025, 9, 20), 60, (2025, 11, 19))],
)
def test_bags_lie_their_days_in_the_sun(bagged_on, sun_days, until):
    policy = replace(DEFAULT_POLICY, sun_days=sun_days)
    assert bag_sun_end(datetime.date(*bagged_on), policy) == datetime.date(*until)
    assert disposal(datetime.date(*bagged_on), SeedHeads.PRESENT, policy).sun_until == datetime.date(*until)


def test_bags_say_that_the_days_have_no_source_and_that_bylaws_decide_on_fire():
    texts = " ".join(
        because.text for because in disposal(datetime.date(2025, 9, 20), SeedHeads.PRESENT, DEFAULT_POLICY).reasons
    )
    assert "14 days in direct sun" in texts
    assert "without a source about reed" in texts
    assert "local bylaws" in texts


@pytest.mark.parametrize(("stems", "bags"), [(0, 0), (1, 1), (150, 1), (151, 2), (1600, 11)])  # convention: 150 a bag
def test_bags_for_stems(stems, bags):
    assert bags_for(stems) == bags


@given(st.integers(0, 1_000_000))
def test_bags_hold_all_stems_and_none_is_empty(stems):
    bags = bags_for(stems)
    assert (bags - 1) * STEMS_PER_BAG < max(stems, 1) <= max(bags, 1) * STEMS_PER_BAG


def test_a_full_bag_can_be_lifted():
    # 50 g fresh a stem (computed); 8.76 kg is the NIOSH limit for a lift from the ground, once a minute, fair grip.
    assert STEMS_PER_BAG * 0.050 < 8.76


def test_negative_stems_are_refused():
    with pytest.raises(UnusableInput, match="stems"):
        bags_for(-1)
