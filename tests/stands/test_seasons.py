"""The calendar of a site's year, and may we work next Saturday."""

import datetime

import pytest

from reedcrew.stands.models import SiteNotice
from reedcrew.stands.queries import Answer, next_saturday, stand_rows, year_of_work
from reedcrew.trade.identification import Identification
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import Effect, MonthDay, SeasonState
from tests.factories import NOW, make_gauge, make_group, make_level, make_notice, make_site, make_stand, make_zone

pytestmark = pytest.mark.django_db

WATER = {"scope": SiteNotice.Scope.IN_WATER, "kind": SiteNotice.Kind.SPAWNING}


def year(site, number=2025):
    return year_of_work(site, DEFAULT_POLICY, number, datetime.date(2025, 8, 20))


@pytest.mark.parametrize(
    ("spans", "days"),
    [
        # Counts of the periods of canada.ca and dfo-mpo.gc.ca, worked out by hand; the first is the default window.
        ((), 93),
        ([((3, 15), (7, 15))], 92),
        ([((3, 15), (7, 15)), ((10, 1), (6, 30))], 77),
        ([((10, 1), (6, 30))], 78),
        ([((3, 15), (8, 31))], 45),
        ([((3, 15), (8, 31)), ((10, 1), (6, 30))], 30),
    ],
)
def test_days_of_a_year_after_the_notices(spans, days):
    site = make_site(make_group())
    for opens, closes in spans:
        make_notice(site, opens=MonthDay(*opens), closes=MonthDay(*closes))
    found = year(site)
    assert (found.days_permitted, found.days_in_water) == (days, days)


def test_a_permission_and_a_notice_for_water():
    """New Brunswick's line is a permission: 1 June to 30 September; 78 days of the default window lie in it."""
    site = make_site(make_group())
    make_notice(site, effect=Effect.PERMITS.value, opens=MonthDay(6, 1), closes=MonthDay(9, 30), **WATER)
    found = year(site)
    assert (found.days_permitted, found.days_in_water) == (93, 78)
    october = found.months[9]
    assert [(stretch.first.day, stretch.state, stretch.water_closed) for stretch in october.weeks[0].stretches] == [
        (1, SeasonState.CAUTION, True)
    ]
    assert "season.not_permitted_in_water" in [because.code for because in october.reasons]


def test_weeks_are_cut_at_months_and_mixed_ones_say_which_days():
    """15 July 2025 is a Tuesday: its week is closed on Monday and open, with care, from Tuesday."""
    found = year(make_site(make_group()))
    assert [len(month.weeks) for month in found.months] == [5, 5, 6, 5, 5, 6, 5, 5, 5, 5, 5, 5]
    july = found.months[6]
    assert [(week.first.day, week.last.day) for week in july.weeks] == [(1, 6), (7, 13), (14, 20), (21, 27), (28, 31)]
    week = july.weeks[2]
    assert [(each.first.day, each.last.day, each.state) for each in week.stretches] == [
        (14, 14, SeasonState.CLOSED),
        (15, 20, SeasonState.CAUTION),
    ]
    assert (week.is_mixed, week.worst) == (True, SeasonState.CLOSED)
    assert [week.first.day for month in found.months for week in month.weeks if week.has_today] == [18]
    assert [because.code for because in found.months[8].reasons] == ["season.open"]


def test_a_year_takes_one_query(django_assert_num_queries):
    site = make_site(make_group())
    for _number in range(5):
        make_notice(site)
    with django_assert_num_queries(1):
        year(site)


def test_a_list_of_stands_asks_once_for_the_notices_of_all_sites(django_assert_num_queries):
    group = make_group()
    stands = [make_stand(group) for _number in range(6)]
    make_notice(stands[0].site)
    with django_assert_num_queries(1):
        rows = stand_rows(stands, DEFAULT_POLICY, NOW)
    assert [row.today.state for row in rows] == [SeasonState.CLOSED] + [SeasonState.CAUTION] * 5


def saturday(stand, at=NOW):
    return next_saturday(stand, DEFAULT_POLICY, at)


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        ((2026, 8, 10, 12), (2026, 8, 15)),
        ((2026, 8, 15, 3), (2026, 8, 15)),  # 14 August, 23:00 in Toronto
        ((2026, 8, 15, 12), (2026, 8, 22)),  # on a Saturday the next one is meant
    ],
)
def test_next_saturday_is_that_of_the_site(moment, day):
    stand = make_stand(make_group())
    year, month, date, hour = moment
    at = datetime.datetime(year, month, date, hour, tzinfo=datetime.UTC)
    assert saturday(stand, at).day == datetime.date(*day)


def test_yes_needs_the_introduced_reed_an_open_calendar_and_an_open_zone():
    group = make_group()
    stand = make_stand(group)
    assert saturday(stand).answer is Answer.NO  # nobody knows a depth
    make_zone(stand, name="Edge", depth_cm=60)
    make_zone(stand, name="Channel", depth_cm=140)
    found = saturday(stand)
    assert (found.answer, [zone.zone for zone in found.open_zones]) == (Answer.YES, ["Edge"])
    doubtful = make_stand(group, identification=Identification.NOT_SURE.value)
    make_zone(doubtful, depth_cm=60)
    assert (saturday(doubtful).answer, saturday(doubtful).confirmed) == (Answer.NO, False)
    november = saturday(stand, datetime.datetime(2026, 11, 1, tzinfo=datetime.UTC))
    assert (november.answer, november.verdict.state) == (Answer.NO, SeasonState.CLOSED)


def test_water_that_rose_closes_saturday():
    stand = make_stand(make_group())
    make_zone(stand, depth_cm=60, gauge_cm=20)
    gauge = make_gauge(stand.site)
    make_level(gauge, 61)
    assert saturday(stand).answer is Answer.NO  # 101 cm, over the 100 cm of H6
    make_level(gauge, 60, NOW + datetime.timedelta(minutes=1))
    assert saturday(stand, NOW + datetime.timedelta(hours=1)).answer is Answer.YES


def test_a_notice_for_water_leaves_dry_zones():
    stand = make_stand(make_group())
    make_zone(stand, name="Edge", depth_cm=1)
    make_notice(stand.site, **WATER)
    assert saturday(stand).answer is Answer.NO
    make_zone(stand, name="Bank", depth_cm=0)
    found = saturday(stand)
    assert (found.answer, [zone.zone for zone in found.open_zones]) == (Answer.LAND_ONLY, ["Bank"])


@pytest.mark.parametrize("zones", [1, 9])
def test_next_saturday_takes_three_queries(zones, django_assert_num_queries):
    stand = make_stand(make_group())
    for _number in range(zones):
        make_zone(stand)
    with django_assert_num_queries(3):
        saturday(stand)
