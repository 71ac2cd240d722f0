"""The permitted weeks: rule 1 of the design, nesting period of canada.ca, counts of days worked out by hand."""

import dataclasses
import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import (
    Effect,
    MonthDay,
    Notice,
    SeasonRules,
    SeasonState,
    Window,
    default_window,
    is_permitted,
    verdict,
)

DEFAULT = default_window(DEFAULT_POLICY)
SPAWNING = Notice(effect=Effect.FORBIDS, opens=MonthDay(3, 15), closes=MonthDay(7, 15), issuer="Fisheries")
WRAPPING = Notice(effect=Effect.FORBIDS, opens=MonthDay(10, 1), closes=MonthDay(6, 30), issuer="District")
NESTING = Notice(effect=Effect.FORBIDS, opens=MonthDay(3, 15), closes=MonthDay(8, 31), issuer="Wildlife")
SUMMER = Notice(effect=Effect.PERMITS, opens=MonthDay(6, 1), closes=MonthDay(9, 30), issuer="Province")
month_days = st.dates(datetime.date(2024, 1, 1), datetime.date(2024, 12, 31)).map(lambda d: MonthDay(d.month, d.day))
days = st.dates(datetime.date(2000, 1, 1), datetime.date(2040, 12, 31))


def permitted_days(window, *notices, year=2025):
    first = datetime.date(year, 1, 1)
    year_days = (first + datetime.timedelta(days=count) for count in range(365))
    return [day for day in year_days if is_permitted(window, day, notices)]


@pytest.mark.parametrize(
    ("notices", "count", "first", "last"),
    [
        # The periods are those of canada.ca (nesting), dfo-mpo.gc.ca (spawning, New Brunswick's permission) and a
        # district notice of 2017. The days were counted by hand, both ends included: 15-31 July 17, August 31,
        # September 30, 1-15 October 15 = 93.
        ((), 93, (7, 15), (10, 15)),
        ((SPAWNING,), 92, (7, 16), (10, 15)),
        ((SPAWNING, WRAPPING), 77, (7, 16), (9, 30)),
        ((WRAPPING,), 78, (7, 15), (9, 30)),
        ((NESTING,), 45, (9, 1), (10, 15)),
        ((NESTING, WRAPPING), 30, (9, 1), (9, 30)),
        ((SUMMER,), 78, (7, 15), (9, 30)),
    ],
)
def test_permitted_days_of_a_year(notices, count, first, last):
    found = permitted_days(DEFAULT, *notices)
    assert len(found) == count
    assert (found[0], found[-1]) == (datetime.date(2025, *first), datetime.date(2025, *last))


@pytest.mark.parametrize(
    ("day", "state", "codes"),
    [
        ((7, 14), SeasonState.CLOSED, ["season.outside"]),
        ((7, 15), SeasonState.CAUTION, ["season.first_week", "season.nesting"]),
        ((7, 21), SeasonState.CAUTION, ["season.first_week", "season.nesting"]),
        ((7, 22), SeasonState.CAUTION, ["season.nesting"]),
        ((8, 31), SeasonState.CAUTION, ["season.nesting"]),
        ((9, 1), SeasonState.OPEN, ["season.open"]),
        ((10, 8), SeasonState.OPEN, ["season.open"]),
        ((10, 9), SeasonState.CAUTION, ["season.last_week"]),
        ((10, 15), SeasonState.CAUTION, ["season.last_week"]),
        ((10, 16), SeasonState.CLOSED, ["season.outside"]),
    ],
)
def test_rule_1_default_window(day, state, codes):
    result = verdict(DEFAULT, datetime.date(2025, *day))
    assert (result.state, [because.code for because in result.reasons]) == (state, codes)


@pytest.mark.parametrize(
    ("day", "state"),
    [
        ((2025, 10, 31), SeasonState.CLOSED),
        ((2025, 11, 1), SeasonState.CAUTION),
        ((2025, 11, 7), SeasonState.CAUTION),
        ((2025, 11, 8), SeasonState.OPEN),
        ((2025, 12, 31), SeasonState.OPEN),
        ((2026, 1, 1), SeasonState.OPEN),
        ((2026, 2, 21), SeasonState.OPEN),
        ((2026, 2, 22), SeasonState.CAUTION),
        ((2026, 2, 28), SeasonState.CAUTION),
        ((2026, 3, 1), SeasonState.CLOSED),
    ],
)
def test_a_window_may_wrap_the_year_end(day, state):
    winter = Window(opens=MonthDay(11, 1), closes=MonthDay(2, 28), authority="Province")
    assert verdict(winter, datetime.date(*day)).state is state


def test_a_closed_day_names_every_cause_and_its_authority():
    window = Window(opens=MonthDay(8, 1), closes=MonthDay(9, 30), authority="Harbour Board")
    result = verdict(window, datetime.date(2025, 10, 5), (WRAPPING, SUMMER))
    assert [because.code for because in result.reasons] == [
        "season.outside_by",
        "season.forbidden",
        "season.not_permitted",
    ]
    for name, because in zip(("Harbour Board", "District", "Province"), result.reasons, strict=True):
        assert name in because.text
    assert "1 August to 30 September" in result.reasons[0].text


def test_a_notice_moves_the_first_week():
    assert "season.first_week" in [
        because.code for because in verdict(DEFAULT, datetime.date(2025, 9, 3), (NESTING,)).reasons
    ]


def test_29_february_can_close_a_window():
    window = Window(opens=MonthDay(1, 1), closes=MonthDay(2, 29))
    assert is_permitted(window, datetime.date(2024, 2, 29))
    assert is_permitted(window, datetime.date(2025, 2, 28))
    assert not is_permitted(window, datetime.date(2025, 3, 1))


@given(month_days, month_days, days)
def test_a_day_is_in_a_span_or_in_the_rest_of_the_year_never_both(opens, closes, day):
    inside = Notice(effect=Effect.FORBIDS, opens=opens, closes=closes, issuer="x")
    permits = Notice(effect=Effect.PERMITS, opens=opens, closes=closes, issuer="x")
    all_year = Window(opens=MonthDay(1, 1), closes=MonthDay(12, 31))
    assert is_permitted(all_year, day, (inside,)) is not is_permitted(all_year, day, (permits,))


@given(month_days, month_days, days)
def test_a_prohibition_never_opens_a_day(opens, closes, day):
    notice = Notice(effect=Effect.FORBIDS, opens=opens, closes=closes, issuer="x")
    if is_permitted(DEFAULT, day, (notice,)):
        assert is_permitted(DEFAULT, day)


@pytest.mark.parametrize(
    ("opens", "closes", "fields"),
    [((2, 30), (10, 15), ["opens"]), ((7, 15), (13, 1), ["closes"]), ((0, 1), (4, 31), ["opens", "closes"])],
)
def test_a_window_refuses_days_that_no_year_has(opens, closes, fields):
    with pytest.raises(UnusableInput) as caught:
        Window(opens=MonthDay(*opens), closes=MonthDay(*closes))
    assert [fault.where for fault in caught.value.faults] == fields


def test_the_same_day_of_the_window_lies_inside_the_general_nesting_period():
    """The trap of the default window: 15 July is not after nesting, so that it asks for a check for nests."""
    first = verdict(DEFAULT, datetime.date(2026, 7, 15))
    assert first.state is SeasonState.CAUTION
    assert "check for active nests" in first.reasons[-1].text
    later = verdict(DEFAULT, datetime.date(2026, 9, 10), nest_check_until=MonthDay(9, 15))
    assert [because.code for because in later.reasons] == ["season.nesting"]
    assert "15 September" in later.reasons[0].text


IN_WATER = Notice(
    effect=Effect.FORBIDS, opens=MonthDay(3, 15), closes=MonthDay(7, 31), issuer="Fisheries", in_water_only=True
)


def test_a_notice_for_water_leaves_the_day_to_dry_zones_and_says_so():
    said = verdict(DEFAULT, datetime.date(2026, 7, 28), (IN_WATER,))
    assert (said.state, said.water_closed, said.authorities) == (SeasonState.CAUTION, True, ("Fisheries",))
    assert said.state_for(in_water=True) is SeasonState.CLOSED
    assert said.state_for(in_water=False) is SeasonState.CAUTION
    assert said.reasons[0].text == (
        "Work in water is forbidden from 15 March to 31 July by Fisheries; dry zones may be worked."
    )
    after = verdict(DEFAULT, datetime.date(2026, 8, 1), (IN_WATER,))
    assert (after.water_closed, after.state_for(in_water=True)) == (False, SeasonState.CAUTION)
    assert "season.first_week" in [because.code for because in after.reasons]  # of work in water


def test_a_notice_that_advises_closes_nothing():
    careful = dataclasses.replace(NESTING, advises=True)
    said = verdict(DEFAULT, datetime.date(2026, 8, 10), (careful,))
    assert (said.state, said.water_closed, said.authorities) == (SeasonState.CAUTION, False, ())
    assert said.reasons[-1].code == "season.advice_against"
    assert is_permitted(DEFAULT, datetime.date(2026, 8, 10), (careful,))


@pytest.mark.parametrize(
    ("day", "stops"),
    [
        ((2025, 8, 1), False),  # the year before: the notice says nothing of it
        ((2026, 7, 31), True),
        ((2026, 8, 1), False),
        ((2026, 12, 31), False),
        ((2027, 1, 31), False),
        ((2027, 2, 1), True),
        ((2028, 8, 1), False),
    ],
)
def test_a_permission_of_one_year_closes_the_rest_of_the_years_it_touches(day, stops):
    permit = Notice(effect=Effect.PERMITS, opens=MonthDay(8, 1), closes=MonthDay(1, 31), issuer="Board", year=2026)
    assert permit.stops(datetime.date(*day)) is stops
    turned = dataclasses.replace(permit, effect=Effect.FORBIDS)
    touched = day[0] in {2026, 2027}
    assert turned.stops(datetime.date(*day)) is (touched and not stops)


def test_a_notice_of_one_year_names_the_years_and_one_that_ended_says_nothing():
    notice = Notice(effect=Effect.FORBIDS, opens=MonthDay(8, 1), closes=MonthDay(8, 31), issuer="Board", year=2026)
    assert "1 August 2026 to 31 August 2026" in verdict(DEFAULT, datetime.date(2026, 8, 5), (notice,)).reasons[0].text
    ended = dataclasses.replace(notice, until=datetime.date(2026, 8, 10))
    assert not is_permitted(DEFAULT, datetime.date(2026, 8, 10), (ended,))
    assert is_permitted(DEFAULT, datetime.date(2026, 8, 11), (ended,))


@pytest.mark.parametrize(
    ("year", "opens", "closes", "fields"),
    [
        (2025, (2, 29), (3, 31), ["opens"]),
        (2026, (11, 1), (2, 29), ["closes"]),
        (1800, (7, 1), (7, 2), ["year"]),
    ],
)
def test_a_notice_of_one_year_refuses_days_that_the_year_has_not(year, opens, closes, fields):
    with pytest.raises(UnusableInput) as caught:
        Notice(effect=Effect.FORBIDS, opens=MonthDay(*opens), closes=MonthDay(*closes), issuer="x", year=year)
    assert [fault.where for fault in caught.value.faults] == fields


def test_29_february_may_close_a_notice_that_wraps_into_a_leap_year():
    notice = Notice(effect=Effect.FORBIDS, opens=MonthDay(11, 1), closes=MonthDay(2, 29), issuer="x", year=2027)
    assert notice.stops(datetime.date(2028, 2, 29))
    assert not notice.stops(datetime.date(2028, 3, 1))


# --- Against sets of days, put together one by one -------------------------------------------------------------------
SET_YEARS = range(2023, 2028)


def set_of(opens, closes, year):
    """Every day of the span that begins in ``year``, by walking from its first day to its last."""
    day = datetime.date(year, opens.month, opens.day if opens != (2, 29) or year % 4 == 0 else 28)
    if opens == (2, 29) and year % 4:
        day = datetime.date(year, 3, 1)
    end_year = year if tuple(opens) <= tuple(closes) else year + 1
    found = set()
    while (day.year, day.month, day.day) <= (end_year, *closes):
        found.add(day)
        day += datetime.timedelta(days=1)
    return found


def days_of_years(years):
    return {
        datetime.date(year, 1, 1) + datetime.timedelta(days=count)
        for year in years
        for count in range(366 if year % 4 == 0 else 365)
    }


def every_year(opens, closes):
    return set().union(*(set_of(opens, closes, year) for year in range(2021, 2030)))


notices_of_years = st.builds(
    Notice,
    effect=st.sampled_from(Effect),
    opens=month_days.filter(lambda day: day != (2, 29)),
    closes=month_days.filter(lambda day: day != (2, 29)),
    issuer=st.just("x"),
    year=st.none() | st.sampled_from([2024, 2025]),
    advises=st.booleans(),
    in_water_only=st.booleans(),
)


@given(month_days, month_days, st.lists(notices_of_years, max_size=4), st.booleans())
@settings(max_examples=30, deadline=None)
def test_the_calendar_is_what_remains_of_sets_of_days(opens, closes, notices, in_water):
    remaining = every_year(opens, closes) & days_of_years(SET_YEARS)
    for notice in notices:
        if notice.advises or (notice.in_water_only and not in_water):
            continue
        if notice.year is None:
            span, spoken_of = every_year(notice.opens, notice.closes), days_of_years(SET_YEARS)
        else:
            span = set_of(notice.opens, notice.closes, notice.year)
            spoken_of = days_of_years({notice.year, max(span).year})
        remaining -= span if notice.effect is Effect.FORBIDS else spoken_of - span
    rules = SeasonRules(window=Window(opens=opens, closes=closes), notices=tuple(notices))
    first, last = datetime.date(2023, 1, 1), datetime.date(2027, 12, 31)
    open_days = {
        first + datetime.timedelta(days=step)
        for step, said in enumerate(rules.verdicts(first, last))
        if said.state_for(in_water=in_water) is not SeasonState.CLOSED
    }
    assert open_days == remaining
    assert rules.is_permitted(datetime.date(2025, 8, 20), in_water=in_water) is (
        datetime.date(2025, 8, 20) in remaining
    )
