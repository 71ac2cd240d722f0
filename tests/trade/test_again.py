"""The same weekday of the same week. Dates from the calendar of ISO 8601 (week 1 has the year's first Thursday)."""

import datetime

import pytest

from reedcrew.trade.again import nearest_permitted, same_week
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import Effect, MonthDay, Notice, SeasonRules, default_window


def date(text):
    return datetime.date.fromisoformat(text)


@pytest.mark.parametrize(
    ("day", "after", "expected"),
    [
        ("2025-08-16", "2026-03-01", "2026-08-15"),  # Saturday of week 33
        ("2026-07-25", "2026-11-30", "2027-07-31"),  # Saturday of week 30, in autumn for next year
        ("2025-08-16", "2026-08-15", "2027-08-21"),  # not the day itself
        ("2026-12-31", "2027-01-02", "2027-12-30"),  # Thursday of week 53, and 2027 has 52
        ("2026-12-31", "2031-06-01", "2031-12-25"),
        ("2026-12-31", "2032-06-01", "2032-12-30"),  # 2032 has 53 again
        ("2025-12-29", "2026-01-05", "2027-01-04"),  # Monday of week 1 of 2026, which lies in 2025
    ],
)
def test_the_same_weekday_of_the_same_week_of_the_calendar(day, after, expected):
    found = same_week(date(day), date(after))
    assert found == date(expected)
    assert found.weekday() == date(day).weekday()
    assert found > date(after)


def test_the_nearest_permitted_day_keeps_the_weekday_and_the_rules():
    window = default_window(DEFAULT_POLICY)  # 15 July to 15 October
    rules = SeasonRules(window=window)
    today = date("2026-05-01")
    assert nearest_permitted(date("2026-07-11"), today, rules) == date("2026-07-18")
    assert nearest_permitted(date("2026-08-15"), today, rules) == date("2026-08-15")
    assert nearest_permitted(date("2026-10-31"), date("2026-10-30"), rules) == date("2027-07-17")
    closed = Notice(
        effect=Effect.FORBIDS, opens=MonthDay(1, 1), closes=MonthDay(12, 31), issuer="Harbour board", until=None
    )
    assert nearest_permitted(date("2026-08-15"), today, SeasonRules(window=window, notices=(closed,))) is None
