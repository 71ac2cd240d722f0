"""What is decided first: due before heavy, heavy before light, and nothing before its time."""

import datetime
import itertools

import pytest

from reedcrew.trade.attention import URGENCY, Band, Matter, Weight, band, is_shown, rank

TODAY = datetime.date(2026, 8, 10)


def days(number):
    return TODAY + datetime.timedelta(days=number)


def ordered(*matters):
    return sorted(matters, key=lambda each: rank(each[0], each[1], TODAY))


def test_each_matter_has_its_urgency():
    assert set(URGENCY) == set(Matter)
    assert {urgency.weight for urgency in URGENCY.values()} == set(Weight)


@pytest.mark.parametrize(
    ("by", "expected"),
    [(-40, Band.NOW), (0, Band.NOW), (3, Band.NOW), (4, Band.SOON), (14, Band.SOON), (15, Band.LATER)],
)
def test_how_soon_it_is_follows_the_date(by, expected):
    assert band(Matter.REPORT, days(by), TODAY) is expected


def test_without_a_date_the_matter_itself_says_how_soon():
    said = {matter: band(matter, None, TODAY) for matter in (Matter.PROTECTED_STAND, Matter.MAIL_IN, Matter.HOURS)}
    assert list(said.values()) == [Band.NOW, Band.SOON, Band.LATER]


def test_of_what_is_equally_soon_safety_goes_first_and_paper_last():
    waiting = [
        *((Matter.REPORT, days(1)), (Matter.GEAR_SHORT, days(2)), (Matter.FIRST_AIDER, days(3))),
        *((Matter.LOAN, days(0)), (Matter.ANSWERS, days(2))),
    ]
    expected = [Matter.FIRST_AIDER, Matter.GEAR_SHORT, Matter.ANSWERS, Matter.LOAN, Matter.REPORT]
    for given in itertools.permutations(waiting):
        assert [matter for matter, _by in ordered(*given)] == expected


def test_what_is_due_goes_before_what_is_heavy_but_far():
    assert ordered((Matter.FIRST_AIDER, days(20)), (Matter.REPORT, days(1)))[0][0] is Matter.REPORT


@pytest.mark.parametrize("matter", [Matter.FIRST_AIDER, Matter.SPOTTERS, Matter.DAY_MOVED, Matter.ZONE_CLOSED])
def test_what_may_hurt_somebody_within_two_weeks_goes_before_late_paper_and_gear(matter):
    late = ((Matter.REPORT, days(-40)), (Matter.LOAN, days(-3)), (Matter.DAY_NOT_CLOSED, days(-9)))
    assert ordered(*late, (matter, days(14)))[0][0] is matter
    assert ordered(*late, (matter, days(15)))[0][0] is not matter


def test_the_earlier_day_goes_first_within_one_weight():
    assert ordered((Matter.SPOTTERS, days(6)), (Matter.FIRST_AIDER, days(13)))[0][0] is Matter.SPOTTERS
    assert ordered((Matter.GEAR_SHORT, days(13)), (Matter.GEAR_SHORT, days(6)))[0][1] == days(6)


def test_nothing_is_shown_long_before_its_time_and_what_is_late_stays():
    assert [is_shown(Matter.FORECAST, days(number), TODAY) for number in (4, 3, 0, -9)] == [False, True, True, True]
    assert is_shown(Matter.DAY_MOVED, days(300), TODAY)
    assert is_shown(Matter.REPORT, None, TODAY)
