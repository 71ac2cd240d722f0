"""Values and roundings against published examples.

Value: 2 CFR 200.306 with the examples of its readers (10 h × 10.00 × 1.30 benefits = 130.00 USD) and published wages:
15.84 USD for groundskeeping workers (SOC 37-3011, Q1 2020), 24.66 for their supervisors (SOC 37-1012, May 2018), 35.59
CAD (Statistics Canada, September 2024). Products are by hand. Rounding: 29 CFR 785.48(b), nearest 5 minutes, tenth or
quarter of an hour; ties up is a convention of the project.
"""

import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from reedcrew.trade.valuation import (
    Rate,
    RateMissing,
    Rates,
    Role,
    Rounding,
    counted_minutes,
    match_needed,
    rounded,
    value_of,
)

DAY = datetime.date(2026, 8, 15)
HOUR = datetime.timedelta(hours=1)


def rate(hourly="15.84", *, role=Role.CREW, since=datetime.date(2020, 1, 1), currency="USD", fringe=0, own=False):
    return Rate(
        role=role, since=since, hourly=Decimal(hourly), currency=currency, fringe_percent=Decimal(fringe), own=own
    )


def at(clock: str, zone=datetime.UTC) -> datetime.datetime:
    return datetime.datetime.combine(DAY, datetime.time.fromisoformat(clock), tzinfo=zone)


@pytest.mark.parametrize(
    ("hours", "hourly", "fringe", "worth"),
    [
        ("10", "10.00", 30, "130.00"),
        ("6.25", "15.84", 0, "99.00"),
        ("6.25", "15.84", 30, "128.70"),
        ("5.5", "24.66", 0, "135.63"),
        ("12.25", "35.59", 0, "435.98"),  # 435.9775
        ("4", "15.84", 0, "63.36"),  # an engineer who cuts reed: the rate follows the task
        ("0", "15.84", 30, "0.00"),
    ],
)
def test_a_value_is_hours_by_rate_with_benefits_to_the_cent(hours, hourly, fringe, worth):
    assert value_of(int(Decimal(hours) * 60), rate(hourly, fringe=fringe)) == Decimal(worth)


def test_eight_people_are_worth_the_sum_of_their_lines():
    """8 × 5.5 h × 15.84 = 696.96 USD."""
    assert sum(value_of(330, rate()) for _person in range(8)) == Decimal("696.96")


@pytest.mark.parametrize(
    ("award", "share", "needed"),
    [("30000", "25", "10000.00"), ("20000", "50", "20000.00"), ("60000", "40", "40000.00"), ("5", "0", "0.00")],
)
def test_match_needed_is_the_other_share_of_the_whole(award, share, needed):
    assert match_needed(Decimal(award), Decimal(share)) == Decimal(needed)


@pytest.mark.parametrize(("award", "share"), [("-1", "20"), ("100", "100"), ("100", "-1")])
def test_a_share_that_leaves_the_funder_nothing_is_refused(award, share):
    with pytest.raises(ValueError, match="share"):
        match_needed(Decimal(award), Decimal(share))


ROUNDED = [
    ("08:02", "08:00", "08:00", "08:00"),
    ("08:03", "08:05", "08:06", "08:00"),
    ("08:07", "08:05", "08:06", "08:00"),
    ("08:07:30", "08:10", "08:06", "08:15"),
    ("08:08", "08:10", "08:06", "08:15"),
    ("17:21", "17:20", "17:24", "17:15"),
    ("17:22", "17:20", "17:24", "17:15"),
    ("17:23", "17:25", "17:24", "17:30"),
]


@pytest.mark.parametrize(("clock", "five", "tenth", "quarter"), ROUNDED)
def test_clock_times_go_to_the_nearest_step(clock, five, tenth, quarter):
    found = [rounded(at(clock), each) for each in (Rounding.FIVE_MINUTES, Rounding.TENTH, Rounding.QUARTER)]
    assert found == [at(five), at(tenth), at(quarter)]
    assert rounded(at(clock), Rounding.NONE) == at(clock)


@pytest.mark.parametrize(
    ("practice", "minutes"),
    [(Rounding.NONE, 241), (Rounding.FIVE_MINUTES, 245), (Rounding.TENTH, 240), (Rounding.QUARTER, 255)],
)
def test_the_ends_of_a_stay_are_rounded_not_its_length(practice, minutes):
    """08:07 to 12:08: 4.25 h by quarters, though its 241 minutes alone would be 4.00 h."""
    assert counted_minutes(at("08:07"), at("12:08"), practice) == minutes


@pytest.mark.parametrize(("practice", "bias"), [(Rounding.QUARTER, 0), (Rounding.FIVE_MINUTES, 0), (Rounding.TENTH, 3)])
def test_a_practice_evens_out_over_a_step(practice, bias):
    """29 CFR 785.48(b) asks that it does. Tenths with ties up gain 3 min in 6 stamps, which start and end cancel."""
    stamps = [at("08:00") + datetime.timedelta(minutes=minute) for minute in range(60)]
    moved = sum((rounded(stamp, practice) - stamp for stamp in stamps), datetime.timedelta())
    assert moved == datetime.timedelta(minutes=bias) * (10 if practice is Rounding.TENTH else 1)


def test_steps_are_those_of_the_site_s_clock_also_across_a_change_of_the_clocks():
    """Kathmandu is 5 h 45 min ahead of UTC, so tenths there are not tenths in UTC."""
    kathmandu = ZoneInfo("Asia/Kathmandu")
    assert rounded(at("08:02", kathmandu), Rounding.TENTH) == at("08:00", kathmandu)
    toronto = ZoneInfo("America/Toronto")
    before = datetime.datetime(2026, 3, 8, 1, 55, tzinfo=toronto)  # the clocks go forward at 02:00
    assert rounded(before, Rounding.QUARTER).isoformat() == "2026-03-08T03:00:00-04:00"
    assert counted_minutes(before, before.astimezone(datetime.UTC) + 2 * HOUR, Rounding.QUARTER, toronto) == 120


def test_a_time_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="zone"):
        rounded(datetime.datetime(2026, 8, 15, 8), Rounding.TENTH)  # noqa: DTZ001  # the point of the test


def test_the_latest_rate_holds_and_a_grant_s_own_goes_before_it():
    old, new = rate("15.84"), rate("16.50", since=DAY)
    own = rate("14.00", since=datetime.date(2026, 1, 1), own=True)
    rates = Rates([new, old, rate("20", currency="CAD")], "USD")
    assert rates.at(Role.CREW, DAY - datetime.timedelta(days=1)) == old
    assert rates.at(Role.CREW, DAY) == new
    assert Rates([new, own, old], "USD").at(Role.CREW, DAY) == own


@pytest.mark.parametrize(
    ("role", "day"), [(Role.LEAD, DAY), (Role.CREW, datetime.date(2019, 12, 31))], ids=["role", "date"]
)
def test_a_missing_rate_is_named_and_never_nothing(role, day):
    with pytest.raises(RateMissing) as refused:
        Rates([rate()], "USD").at(role, day)
    assert (refused.value.role, refused.value.date, refused.value.currency) == (role, day, "USD")
