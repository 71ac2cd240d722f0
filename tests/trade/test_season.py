"""The permitted weeks: rule 1 of the design, nesting period of canada.ca, counts of days worked out by hand."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import Effect, MonthDay, Notice, SeasonState, Window, default_window, is_permitted, verdict

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
        # Counted by hand, both ends included: 15-31 July 17, August 31, September 30, 1-15 October 15 = 93.
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
