"""What a crew must know when the water moves: rules 4 and 5 (30 cm), H6 (100 cm) and H7 (0.929 m²/s over 2)."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.moves import Closing, Ground, what_changes, zone_state
from reedcrew.trade.policy import DEFAULT_POLICY


def state(depth_cm, current_m_s=0.0):
    return zone_state("North edge", depth_cm, current_m_s, DEFAULT_POLICY)


@pytest.mark.parametrize(
    ("depth_cm", "current", "ground", "closing"),
    [
        (0, 0, Ground.DRY, Closing.OPEN),
        (0, None, Ground.DRY, Closing.OPEN),
        (1, 0, Ground.SHALLOW, Closing.OPEN),
        (1, None, Ground.SHALLOW, Closing.CURRENT),
        (30, 0, Ground.SHALLOW, Closing.OPEN),
        (31, 0, Ground.DEEP, Closing.OPEN),
        (100, 0, Ground.DEEP, Closing.OPEN),
        (101, 0, Ground.DEEP, Closing.TOO_DEEP),
        (60, 0.78, Ground.DEEP, Closing.CURRENT),  # 0.468 m²/s, over 0.4645
        (60, 0.77, Ground.DEEP, Closing.OPEN),  # 0.462 m²/s
    ],
)
def test_a_zone_is_what_its_depth_and_current_make_it(depth_cm, current, ground, closing):
    found = state(depth_cm, current)
    assert (found.ground, found.closing, found.is_open) == (ground, closing, closing is Closing.OPEN)


@pytest.mark.parametrize(
    ("before", "after", "codes", "words"),
    [
        (20, 40, ["moves.spade_to_cutter"], "40 cm of water instead of 20 cm"),
        (0, 40, ["moves.dry_to_cutter"], "instead of dry ground"),
        (40, 20, ["moves.cutter_to_spade"], "to the spade, with boots, still in pairs"),
        (40, 0, ["moves.cutter_to_dry"], "dry ground instead of 40 cm"),
        (0, 10, ["moves.dry_to_shallow"], "boots and a partner"),
        (10, 0, ["moves.shallow_to_dry"], "land work now"),
        (60, 120, ["moves.now_too_deep"], "deeper than anyone may wade"),
        (120, 60, ["moves.now_open"], "open again"),
        (20, 130, ["moves.spade_to_cutter", "moves.now_too_deep"], "Nobody may enter it"),
        (40, 90, [], ""),
        (30, 1, [], ""),
    ],
)
def test_each_change_has_its_sentence(before, after, codes, words):
    found = what_changes(state(before), state(after))
    assert [because.code for because in found] == codes
    assert words in " ".join(because.text for because in found)
    assert all("North edge" in because.text for because in found)


def test_a_current_that_closes_a_zone_is_said():
    (because,) = what_changes(state(50, 0.8), state(70, 0.8))
    assert because.code == "moves.now_closed_by_current"


@given(st.integers(0, 200), st.integers(0, 200), st.sampled_from([0, 0.5, 1.0]))
def test_something_is_said_exactly_when_method_gear_or_openness_differ(before_cm, after_cm, current):
    before, after = state(before_cm, current), state(after_cm, current)
    differs = (before.ground, before.closing) != (after.ground, after.closing)
    assert bool(what_changes(before, after)) is differs


def test_every_pair_of_grounds_has_a_sentence():
    depths = {Ground.DRY: 0, Ground.SHALLOW: 20, Ground.DEEP: 60}
    for one, other in itertools.permutations(Ground, 2):
        assert len(what_changes(state(depths[one]), state(depths[other]))) == 1
