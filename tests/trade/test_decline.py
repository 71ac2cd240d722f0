"""The decline of a stand, against scipy.stats.linregress, numpy.polyfit, hand calculation and published trials."""

import datetime
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from reedcrew.trade.decline import PUBLISHED, YEARS_AHEAD, Course, Pace, SurveyTotal, decline, pace, years_between
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY


def surveys(*stems, se=None, first=2020, month=7, day=1):
    """One survey a year; ``se`` is the standard error of each as a share of its stems."""
    return [
        SurveyTotal(on=datetime.date(first + number, month, day), stems=each, se=None if se is None else each * se)
        for number, each in enumerate(stems)
    ]


def codes(found):
    return [because.code for because in found.reasons]


def of(totals, **fields):
    return decline(totals, DEFAULT_POLICY, **fields)


def test_a_worked_example_to_follow_with_a_calculator():
    """10,000, then 2,000, then 800 stems. Logarithms 9.210, 7.601, 6.685: slope (6.685 − 9.210) / 2 = −1.263.

    Factor e^−1.263 = 0.283. Mean of the logarithms 7.832 in the middle year; 1 % are 100 stems, logarithm 4.605:
    (7.832 − 4.605) / 1.263 = 2.56 years after the middle year, so the survey of the third year after it: 2024.
    """
    found = of(surveys(10_000, 2_000, 800))
    assert found.course is Course.DECLINING
    assert found.line is not None
    assert found.line.factor.value == pytest.approx(0.283, abs=0.001)
    assert math.log(found.line.at(datetime.date(2021, 7, 1)).value) == pytest.approx(7.832, abs=0.002)
    assert (found.threshold_stems, found.year) == (100, 2024)


def test_three_surveys_without_errors_against_scipy():
    totals = surveys(12_300, 5_100, 2_900, 610, 400)
    x = [years_between(totals[0].on, each.on) for each in totals]
    fitted = stats.linregress(x, np.log([each.stems for each in totals]))
    t = stats.t.ppf(0.975, 3)
    line = of(totals).line
    assert line is not None
    assert line.slope == pytest.approx(fitted.slope)
    assert line.factor.low == pytest.approx(math.exp(fitted.slope - t * fitted.stderr))
    assert line.factor.high == pytest.approx(math.exp(fitted.slope + t * fitted.stderr))
    # At the first survey, year 0, the line is the intercept.
    assert line.at(totals[0].on).value == pytest.approx(math.exp(fitted.intercept))
    assert line.at(totals[0].on).low == pytest.approx(math.exp(fitted.intercept - t * fitted.intercept_stderr))


def test_weights_and_scatter_against_numpy():
    totals = [
        SurveyTotal(on=datetime.date(2020 + number, 7, 3), stems=stems, se=se)
        for number, (stems, se) in enumerate(((15_822, 786), (9_000, 1_500), (1_900, 310), (900, 60)))
    ]
    x = np.array([years_between(totals[0].on, each.on) for each in totals])
    y = np.log([each.stems for each in totals])
    w = np.array([each.stems / (each.se or 1) for each in totals])
    (slope, intercept), cov = np.polyfit(x, y, 1, w=w, cov="unscaled")
    scale = np.sum((w * (y - intercept - slope * x)) ** 2) / 2
    assert scale > 1  # the scatter decides here
    half = stats.t.ppf(0.975, 2) * math.sqrt(scale * cov[0, 0])
    line = of(totals).line
    assert line is not None
    assert line.slope == pytest.approx(slope)
    assert (line.factor.low, line.factor.high) == pytest.approx((math.exp(slope - half), math.exp(slope + half)))


def test_surveys_on_one_line_keep_the_limits_of_their_standard_errors():
    """numpy: no scatter, so the unscaled covariance and the normal 1.96 decide."""
    totals = surveys(10_000, 3_000, 900, se=0.1)
    x = np.array([years_between(totals[0].on, each.on) for each in totals])
    (slope, _), cov = np.polyfit(x, np.log([each.stems for each in totals]), 1, w=[10, 10, 10], cov="unscaled")
    line = of(totals).line
    assert line is not None
    assert line.factor.high == pytest.approx(math.exp(slope + 1.959964 * math.sqrt(cov[0, 0])), rel=0.001)


def test_two_surveys_have_the_interval_of_their_ratio():
    """Computed check of the ratio of two surveys: 15,822 (s.e. 786.2938), then 1,900 (s.e. 310): 0.120086,

    95 % 0.085963 to 0.167754. The two days are exactly a year of 365.25 days apart over four years, here 1461 days.
    """
    totals = [
        SurveyTotal(on=datetime.date(2020, 7, 1), stems=15_822, se=786.2938),
        SurveyTotal(on=datetime.date(2024, 7, 1), stems=1_900, se=310),
    ]
    found = of(totals)
    assert found.line is not None
    factor = found.line.factor
    assert [each**4 for each in (factor.value, factor.low, factor.high)] == pytest.approx(
        [0.120086, 0.085963, 0.167754], abs=0.000001
    )
    assert "decline.limits_ratio" in codes(found)


def test_two_surveys_without_errors_claim_no_interval():
    found = of(surveys(10_000, 2_000))
    assert found.line is not None
    assert not found.line.has_limits
    assert (found.year, found.earliest, found.latest) == (2023, None, None)  # 0.2 ** 3 < 0.01 < 0.2 ** 2
    assert "decline.no_limits" in codes(found)


@pytest.mark.parametrize("totals", [[], surveys(5_000)])
def test_too_few_surveys_are_said_plainly(totals):
    found = of(totals)
    assert (found.course, found.line, found.year) == (Course.TOO_FEW, None, None)
    assert found.reasons[0].code == "decline.too_few"


def test_two_surveys_of_one_year_are_one():
    both = [*surveys(5_000), SurveyTotal(on=datetime.date(2020, 10, 1), stems=200)]
    found = of(both)
    assert found.course is Course.TOO_FEW
    assert [each.stems for each in found.surveys] == [5_000]
    assert "decline.one_a_year" in codes(found)


def test_years_before_the_first_cut_count_once():
    found = of(surveys(4_000, 5_000, 6_000, 1_500, 400), first_cut_year=2022)
    assert [each.stems for each in found.surveys] == [6_000, 1_500, 400]
    assert of(surveys(4_000, 5_000, 1_500), first_cut_year=2030).course is Course.TOO_FEW


def test_a_growing_stand_has_no_year():
    found = of(surveys(1_000, 1_100, 1_300, se=0.05))
    assert (found.course, found.year, found.latest) == (Course.NOT_DECLINING, None, None)


@pytest.mark.parametrize("stems", [123, 777, 1_000])
def test_equal_surveys_are_no_decline_whatever_their_errors_and_days(stems):
    """A slope of −1e-17 is what 777 stems three times leave of floating point numbers, and no decline."""
    days = [(2024, 7, 1), (2025, 7, 3), (2026, 7, 11)]
    totals = [
        SurveyTotal(on=datetime.date(*day), stems=stems, se=se) for day, se in zip(days, (13, 29, 31), strict=True)
    ]
    found = of(totals)
    assert (found.course, found.year) == (Course.NOT_DECLINING, None)


def test_a_slow_decline_is_not_within_twenty_years():
    found = of(surveys(1_000, 950, 890, se=0.02))
    assert (found.course, found.year, found.latest) == (Course.DECLINING, None, None)
    assert found.reasons[0].code == "decline.not_within"


def test_scattered_surveys_do_not_rule_out_that_nothing_declines():
    found = of(surveys(1_000, 900, 200, se=0.1))
    assert found.year is not None
    assert found.latest is None
    assert "decline.may_not" in codes(found)


def test_two_surveys_of_one_winter_are_one_season():
    first, then = datetime.date(2020, 12, 31), datetime.date(2021, 1, 1)
    found = of([SurveyTotal(on=first, stems=5_000), SurveyTotal(on=then, stems=10_000)])
    assert (found.course, [each.on for each in found.surveys]) == (Course.TOO_FEW, [first])
    assert "decline.one_a_year" in codes(found)


def test_a_stand_at_its_threshold_needs_no_forecast():
    found = of(surveys(10_000, 900, 60, se=0.1))
    assert (found.course, found.year) == (Course.BELOW, None)


def test_a_clear_survey_asks_for_a_second_clear_year():
    found = of(surveys(10_000, 900, 0, se=0.1))
    assert (found.course, found.year) == (Course.CLEAR, None)
    assert "2 clear years" in found.reasons[0].text


def test_a_clear_year_between_others_is_left_out():
    found = of(surveys(10_000, 0, 500))
    assert [each.stems for each in found.surveys] == [10_000, 500]
    assert "decline.zero_left_out" in codes(found)


def test_a_full_count_does_not_weigh_without_bound():
    totals = surveys(1_000, 300, 100, se=0)
    assert of(totals).line == of([replace(each, se=each.stems * 0.001) for each in totals]).line


def test_an_autumn_beside_a_spring_is_doubted():
    """Trap of Derr's plots: 7 % in autumn and 45 % in May."""
    totals = [*surveys(10_000, month=5), SurveyTotal(on=datetime.date(2021, 10, 1), stems=700)]
    assert "decline.seasons" in codes(of(totals))
    assert "decline.seasons" not in codes(of(surveys(10_000, 4_500, month=5)))


@pytest.mark.parametrize(("factor", "implausible"), [(0.04, True), (0.052, False), (1.19, False), (1.3, True)])
def test_an_unusual_factor_is_doubted(factor, implausible):
    assert ("decline.implausible" in codes(of(surveys(1e6, 1e6 * factor)))) is implausible


@pytest.mark.parametrize(("fall", "expected"), [(0.92, Pace.INSIDE), (0.99, Pace.INSIDE), (0.80, Pace.SLOWER)])
def test_the_published_falls_after_two_seasons_under_water_are_inside(fall, expected):
    """Bickford, Schaefer, Widin, Kowalski (2026): stem density down 92 to 99 % after two seasons."""
    found = of(surveys(10_000, 10_000 * math.sqrt(1 - fall), 10_000 * (1 - fall)), in_water=True)
    assert f"decline.{expected}" in codes(found)
    assert "decline.places" in codes(found)


@pytest.mark.parametrize(("factor", "expected"), [(0.45, Pace.INSIDE), (0.3, Pace.FASTER), (1.21, Pace.SLOWER)])
def test_land_is_judged_by_trials_on_land(factor, expected):
    """Derr (2008): about 55 % fewer the next May."""
    assert pace(factor, next(each for each in PUBLISHED if not each.in_water)) is expected


@pytest.mark.parametrize(("factor", "years"), [(0.11, 3), (0.28, 4), (0.29, 4), (0.45, 6)])
def test_years_to_one_percent(factor, years):
    """ln(0.01) / ln(f), computed: 0.28 → 3.6, 0.29 → 3.7, 0.45 → 5.8; the survey of the year that follows."""
    found = of(surveys(10_000, 10_000 * factor))
    assert found.year == 2020 + years


some_stems = st.lists(st.integers(50, 1_000_000), min_size=2, max_size=8)


@given(some_stems, st.floats(0.01, 0.4), st.sampled_from([2, 5, 10]))
def test_the_unit_of_counting_does_not_matter(stems, se, times):
    one, many = of(surveys(*stems, se=se)), of(surveys(*[each * times for each in stems], se=se))
    assert one.line is not None
    assert many.line is not None
    assert many.line.factor.value == pytest.approx(one.line.factor.value)
    assert many.line.at(datetime.date(2022, 7, 1)).value == pytest.approx(
        one.line.at(datetime.date(2022, 7, 1)).value * times
    )


@given(some_stems, st.floats(0.01, 0.4))
def test_the_years_are_in_order_and_ahead(stems, se):
    found = of(surveys(*stems, se=se))
    if found.year is not None:
        assert found.earliest is not None
        assert 2020 + len(stems) <= found.earliest <= found.year <= (found.latest or math.inf)
        assert found.year <= 2020 + len(stems) - 1 + YEARS_AHEAD
    if found.latest is not None:
        assert found.year is not None


@given(st.lists(st.integers(500, 1_000_000), min_size=2, max_size=6), st.floats(0.1, 0.99))
def test_fewer_stems_at_the_last_survey_never_put_the_year_off(stems, less):
    one, fewer = of(surveys(*stems)), of(surveys(*stems[:-1], stems[-1] * less))
    assume(one.course is Course.DECLINING and fewer.course is Course.DECLINING)
    assert (fewer.year or math.inf) <= (one.year or math.inf)


@pytest.mark.parametrize(("percent", "year"), [(10, 2022), (1, 2024), (0.1, 2025)])
def test_the_group_s_threshold_decides(percent, year):
    policy = replace(DEFAULT_POLICY, gone_percent=percent)
    assert decline(surveys(10_000, 2_500), policy).year == year  # 0.25 ** 2, 0.25 ** 4, 0.25 ** 5


def test_every_faulty_field_is_named():
    with pytest.raises(UnusableInput) as caught:
        of([SurveyTotal(on=datetime.date(2020, 7, 1), stems=-1, se=-2), *surveys(4)])
    assert [fault.where for fault in caught.value.faults] == ["totals[0].stems", "totals[0].se"]
