import datetime

import pytest

from reedcrew.stands.queries import depths_today, season_at, stand_page, window_of
from reedcrew.trade.identification import Identification
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import MonthDay, SeasonState, Window
from tests.factories import NOW, make_gauge, make_group, make_level, make_site, make_stand, make_zone

pytestmark = pytest.mark.django_db

OWN = {"window_opens": MonthDay(8, 1), "window_closes": MonthDay(9, 30), "window_authority": "Lake authority"}


def at(year, month, day, hour=16):
    return datetime.datetime(year, month, day, hour, tzinfo=datetime.UTC)


def test_a_site_without_own_weeks_has_those_of_the_group():
    assert window_of(make_site(make_group()), DEFAULT_POLICY) == Window(
        opens=MonthDay(7, 15), closes=MonthDay(10, 15)
    )  # design, rule 1


def test_a_site_s_own_weeks_come_with_their_authority():
    site = make_site(make_group(), **OWN)
    site.refresh_from_db()
    assert window_of(site, DEFAULT_POLICY) == Window(
        opens=MonthDay(8, 1), closes=MonthDay(9, 30), authority="Lake authority"
    )


def test_depth_today_follows_the_latest_level_at_or_before_the_moment():
    """Rule 3 of the design: 60 cm surveyed at gauge 20; gauge 35 gives 75, gauge 10 gives 50."""
    stand = make_stand(make_group())
    make_zone(stand, depth_cm=60, gauge_cm=20)
    gauge = make_gauge(stand.site)
    make_level(gauge, 10, NOW - datetime.timedelta(days=3))
    make_level(gauge, 35, NOW)
    make_level(make_gauge(make_site(make_group())), 99, NOW)
    for moment, depth_cm in ((NOW, 75), (NOW - datetime.timedelta(seconds=1), 50)):
        (known,) = depths_today(stand, moment)
        assert known.depth_cm == depth_cm
        assert known.reason.code == "water.depth_by_gauge"
    assert depths_today(stand, NOW - datetime.timedelta(days=4))[0].reason.code == "water.no_gauge_today"


def test_a_zone_surveyed_without_a_gauge_keeps_its_depth_and_says_so():
    stand = make_stand(make_group())
    make_zone(stand, depth_cm=60)
    make_level(make_gauge(stand.site), 35)
    (known,) = depths_today(stand, NOW)
    assert (known.depth_cm, known.level, known.reason.code) == (60, None, "water.no_gauge_at_survey")


@pytest.mark.parametrize("zones", [1, 12])
def test_depths_of_a_stand_take_two_queries_however_many_zones(zones, django_assert_num_queries):
    stand = make_stand(make_group())
    for _number in range(zones):
        make_zone(stand, gauge_cm=20)
    make_level(make_gauge(stand.site), 35)
    with django_assert_num_queries(2):
        assert len(depths_today(stand, NOW)) == zones


def test_the_next_days_are_put_together_by_what_the_calendar_says():
    """Nine days before the end of 15 October two spans: open until the last week begins on the 9th, then caution."""
    season = season_at(make_site(make_group()), DEFAULT_POLICY, at(2026, 10, 6))
    assert [(span.first.day, span.last.day, span.verdict.state) for span in season.spans] == [
        (6, 8, SeasonState.OPEN),
        (9, 15, SeasonState.CAUTION),
        (16, 19, SeasonState.CLOSED),
    ]
    assert season.next_open == datetime.date(2026, 10, 6)


def test_after_the_weeks_the_next_permitted_day_is_named():
    season = season_at(make_site(make_group()), DEFAULT_POLICY, at(2026, 11, 1))
    assert season.today.state is SeasonState.CLOSED
    assert season.next_open == datetime.date(2027, 7, 15)


def test_today_is_the_day_of_the_site():
    """15 July 02:00 UTC is still 14 July in Toronto."""
    season = season_at(make_site(make_group()), DEFAULT_POLICY, at(2026, 7, 15, 2))
    assert season.today.state is SeasonState.CLOSED
    assert season.next_open == datetime.date(2026, 7, 15)


def test_a_stand_s_page_says_method_wear_and_limits_of_each_zone():
    """Rules 4 and 5 of the design, H6 (100 cm) and H7 (0.929 m²/s over a factor of 2)."""
    stand = make_stand(make_group(), first_cut_year=2025)
    for name, depth_cm, current in (("a", 0, 0), ("b", 30, 0), ("c", 31, 0), ("d", 101, 0), ("e", 60, 1)):
        make_zone(stand, name=name, depth_cm=depth_cm, current_m_s=current, stems=100)
    page = stand_page(stand, DEFAULT_POLICY, NOW)
    found = {today.zone.name: today for today in page.zones}
    assert [today.water_work for today in page.zones] == [False, False, True, True, True]
    assert found["b"].method.method == "spade at the stem base"
    assert found["c"].method.method == "cut at the bed"
    assert "life jacket" in found["c"].wear.items
    assert [name for name, today in found.items() if today.too_deep] == ["d"]
    assert [name for name, today in found.items() if not today.wading.open] == ["e"]
    assert (page.stems.stems, page.area_m2, page.year_of_treatment) == (500, None, 2)
    assert page.expected[0].code == "treatment.later_year"


@pytest.mark.parametrize(
    ("identification", "moment", "may_work"),
    [
        (Identification.INTRODUCED, NOW, True),
        (Identification.INTRODUCED, at(2026, 11, 1), False),
        (Identification.NATIVE, NOW, False),
        (Identification.NOT_SURE, NOW, False),
        (Identification.UNCHECKED, NOW, False),
    ],
)
def test_work_needs_the_introduced_reed_and_the_permitted_weeks(identification, moment, may_work):
    stand = make_stand(make_group(), identification=identification.value)
    assert stand_page(stand, DEFAULT_POLICY, moment).may_work is may_work


def test_the_age_of_a_level_is_counted_in_days_of_the_site():
    stand = make_stand(make_group())
    make_zone(stand, gauge_cm=20)
    make_level(make_gauge(stand.site), 35, NOW - datetime.timedelta(days=9))
    assert stand_page(stand, DEFAULT_POLICY, NOW).zones[0].level_age_days == 9
