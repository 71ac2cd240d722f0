"""How long somebody of the waiting list is asked: values are conventions of this project, the clock is zoneinfo's."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.workdays.offers import (
    LAST_MINUTES,
    QUIET_FROM,
    QUIET_UNTIL,
    TIME_TO_ANSWER,
    answer_until,
    end_of_quiet_hours,
)

TORONTO = ZoneInfo("America/Toronto")
ZONES = [TORONTO, ZoneInfo("Europe/Berlin"), ZoneInfo("Pacific/Auckland"), ZoneInfo("UTC")]
MOMENTS = st.timedeltas(datetime.timedelta(0), datetime.timedelta(days=730)).map(
    lambda passed: datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC) + passed
)
AHEAD = st.timedeltas(datetime.timedelta(minutes=1), datetime.timedelta(days=40))


def at(text: str) -> datetime.datetime:
    return datetime.datetime.fromisoformat(text).replace(tzinfo=TORONTO)


def is_quiet(moment: datetime.datetime, zone: ZoneInfo) -> bool:
    return not QUIET_UNTIL <= moment.astimezone(zone).time() < QUIET_FROM


@pytest.mark.parametrize(
    ("asked", "starts", "until"),
    [
        # Ten days left: 48 hours, of which 14 a day lie outside the quiet hours from 21:00 to 07:00.
        ("2026-08-05 12:00", "2026-08-15 09:00", "2026-08-08 18:00"),
        # Three days left: 24 hours outside the quiet hours.
        ("2026-08-12 08:00", "2026-08-15 09:00", "2026-08-13 18:00"),
        # The evening before, at 20:00 with 13 hours left: one hour today, two tomorrow would be past 07:00 …
        ("2026-08-14 20:00", "2026-08-15 09:00", "2026-08-15 07:00"),
        # Asked in the night: the time runs from 07:00.
        ("2026-08-05 23:30", "2026-08-15 09:00", "2026-08-09 13:00"),
    ],
)
def test_the_time_to_answer_follows_the_time_left_and_stops_at_night(asked, starts, until):
    assert answer_until(at(asked), at(starts), TORONTO) == at(until)


@pytest.mark.parametrize("asked", ["2026-08-15 06:30", "2026-08-15 07:10", "2026-08-14 22:00", "2026-08-15 10:00"])
def test_nobody_is_asked_by_mail_when_too_little_time_is_left(asked):
    assert answer_until(at(asked), at("2026-08-15 09:00"), TORONTO) is None


@given(
    now=MOMENTS,
    ahead=AHEAD,
    zone=st.sampled_from(ZONES),
)
def test_an_answer_is_due_in_waking_hours_and_well_before_the_start(now, ahead, zone):
    until = answer_until(now, now + ahead, zone)
    if until is None:
        assert end_of_quiet_hours(now, zone) + TIME_TO_ANSWER[-1][0] > now + ahead
        return
    assert now < until <= now + ahead - LAST_MINUTES
    # The end of the waking hours is the one moment of the night at which an answer may be due.
    assert (
        not is_quiet(until, zone) or until.astimezone(zone).time() == QUIET_FROM or until == now + ahead - LAST_MINUTES
    )


@given(now=MOMENTS, zone=st.sampled_from(ZONES))
def test_quiet_hours_end_in_the_morning(now, zone):
    awake = end_of_quiet_hours(now, zone)
    assert awake == now if not is_quiet(now, zone) else awake.astimezone(zone).time() == QUIET_UNTIL
    assert awake - now < datetime.timedelta(hours=11)
