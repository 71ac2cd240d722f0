"""Depth today, H6 and H7 against published wading limits."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.water import WADING_PRODUCT_M2_S, depth_today, wading_limit_cm, wading_verdict

BARE_LIMIT = replace(DEFAULT_POLICY, wading_safety_factor=1.0)


@pytest.mark.parametrize(
    ("surveyed", "at_survey", "today", "depth", "code"),
    [
        (40, 120, 135, 55, "water.depth_by_gauge"),
        (40, 120, 90, 10, "water.depth_by_gauge"),
        (40, 120, 60, 0, "water.depth_by_gauge"),  # the zone fell dry, not "minus 20 cm deep"
        (40, -15, 5, 60, "water.depth_by_gauge"),
        (20, 100.2, 110.2, 30, "water.depth_by_gauge"),  # exactly 30, though the floats differ by a hair more
        (30, 100, 100.1, 31, "water.depth_by_gauge"),  # a part of a centimetre over is over
        (40, None, 135, 40, "water.no_gauge_at_survey"),
        (40, 120, None, 40, "water.no_gauge_today"),
        (40, None, None, 40, "water.no_gauge"),
    ],
)
def test_rule_3_depth_today(surveyed, at_survey, today, depth, code):
    result = depth_today(surveyed, at_survey, today)
    assert (result.depth_cm, result.reason.code) == (depth, code)
    assert f"{depth} cm" in result.reason.text


def test_levels_of_two_gauges_are_never_compared():
    result = depth_today(40, 120, 135, gauge_replaced=True)
    assert (result.depth_cm, result.reason.code) == (40, "water.gauge_replaced")
    assert "Survey the depth again" in result.reason.text


@given(st.integers(0, 300), st.integers(-500, 500), st.integers(-500, 500), st.integers(0, 200))
def test_more_water_at_the_gauge_never_makes_a_zone_shallower(surveyed, at_survey, today, rise):
    before = depth_today(surveyed, at_survey, today).depth_cm
    after = depth_today(surveyed, at_survey, today + rise).depth_cm
    assert 0 <= before <= after <= before + rise


def test_depth_names_every_faulty_field():
    with pytest.raises(UnusableInput) as caught:
        depth_today(-1, 1e9, math.nan)
    assert [fault.where for fault in caught.value.faults] == [
        "surveyed_depth_cm",
        "gauge_at_survey_cm",
        "gauge_today_cm",
    ]


@pytest.mark.parametrize(
    ("stature_cm", "limit_cm"),
    [(150, 75), (171, 85), (199, 99), (200, 100), (201, 100), (230, 100)],  # design, H6
)
def test_h6_limit_is_half_of_stature_and_at_most_a_metre(stature_cm, limit_cm):
    assert wading_limit_cm(stature_cm, DEFAULT_POLICY) == limit_cm


def test_h6_limit_follows_the_policy_without_rounding_noise():
    policy = replace(DEFAULT_POLICY, wading_stature_share=0.57, wading_depth_cm_max=120)
    assert wading_limit_cm(200, policy) == 114  # 0.57 × 200 is 113.99999999999999 in floating point
    assert wading_limit_cm(250, policy) == 120


@given(st.integers(50, 249))
def test_h6_taller_people_never_have_a_lower_limit(stature_cm):
    assert wading_limit_cm(stature_cm, DEFAULT_POLICY) <= wading_limit_cm(stature_cm + 1, DEFAULT_POLICY)


@pytest.mark.parametrize("stature_cm", [0, 49, 251])
def test_h6_refuses_an_impossible_stature(stature_cm):
    with pytest.raises(UnusableInput, match="stature_cm"):
        wading_limit_cm(stature_cm, DEFAULT_POLICY)


@pytest.mark.parametrize(
    ("depth_m", "current_m_s", "is_open"),
    [
        # "Rule of ten": depth (ft) × velocity (ft/s), seen in one public page, in SI. The boundary of 10 closes.
        (0.305, 0.914, True),  # 1 ft × 3
        (0.610, 1.494, True),  # 2 × 4.9
        (0.610, 1.524, False),  # 2 × 5, boundary
        (0.914, 1.006, True),  # 3 × 3.3
        (0.914, 1.036, False),  # 3 × 3.4
        (0.900, 1.050, False),
        (1.219, 0.762, False),  # 4 × 2.5, boundary
    ],
)
def test_h7_without_a_safety_factor_is_the_published_rule(depth_m, current_m_s, is_open):
    assert wading_verdict(depth_m * 100, current_m_s, BARE_LIMIT).open is is_open


@pytest.mark.parametrize(
    ("depth_cm", "current_m_s", "is_open"),
    [(60, 0.77, True), (60, 0.775, False), (46.45, 1.0, False), (46.3, 1.0, True), (100, 0.0, True), (0, 3.0, True)],
)
def test_h7_halves_the_limit_for_volunteers(depth_cm, current_m_s, is_open):
    result = wading_verdict(depth_cm, current_m_s, DEFAULT_POLICY)
    assert result.open is is_open
    assert [because.code for because in result.reasons] == ["water.wading_open" if is_open else "H7"]


@given(st.integers(0, 1000), st.floats(0, 10), st.floats(1, 5))
def test_h7_an_open_zone_is_under_the_limit_with_the_factor(depth_cm, current_m_s, factor):
    policy = replace(DEFAULT_POLICY, wading_safety_factor=factor)
    if wading_verdict(depth_cm, current_m_s, policy).open:
        assert depth_cm / 100 * current_m_s * factor < WADING_PRODUCT_M2_S
        assert wading_verdict(depth_cm, current_m_s / 2, policy).open
        assert wading_verdict(depth_cm // 2, current_m_s, policy).open


def test_h7_names_every_faulty_field():
    with pytest.raises(UnusableInput) as caught:
        wading_verdict(-1, math.nan, DEFAULT_POLICY)
    assert [fault.where for fault in caught.value.faults] == ["depth_cm", "current_m_s"]


@pytest.mark.parametrize(("depth_cm", "is_open"), [(0, True), (1, False), (90, False)])
def test_water_of_unknown_current_is_closed(depth_cm, is_open):
    verdict = wading_verdict(depth_cm, None, DEFAULT_POLICY)
    assert (verdict.open, verdict.reasons[0].code) == (is_open, "H7.unknown")
