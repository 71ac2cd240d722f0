"""The calendar of the season: which months, what each date and week says in words, and who reads which marks."""

import datetime

import pytest
import time_machine
from django.urls import reverse

from reedcrew.fieldbook.models import Load
from reedcrew.people.roles import Role
from reedcrew.stands.models import SiteNotice
from reedcrew.trade.season import MonthDay
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.season_calendar import Openness, season_calendar
from tests import factories
from tests.factories import NOW, START, account_of

pytestmark = pytest.mark.django_db

YEAR = NOW.year


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER)


def dates_of(calendar):
    return {date.date: date for month in calendar.months for week in month.weeks for date in week.inside}


def test_it_shows_the_months_of_the_permitted_weeks_and_of_every_mark(group, organizer):
    stand = factories.make_stand(group)
    shown = season_calendar(organizer, YEAR, NOW)
    assert [month.first.month for month in shown.months] == [7, 8, 9, 10]  # 15 July to 15 October
    start = datetime.datetime(YEAR, 11, 7, 14, tzinfo=datetime.UTC)
    end = start + datetime.timedelta(hours=3)
    factories.make_day(stand, date=start.date(), starts_at=start, ends_at=end, window_reason="A school asked")
    assert [month.first.month for month in season_calendar(organizer, YEAR, NOW).months][-1] == 11
    assert [month.first.month for month in season_calendar(organizer, YEAR - 1, NOW).months] == [7, 8, 9, 10]


def test_today_is_the_date_of_the_sites(group, organizer):
    factories.make_site(group)
    evening = datetime.datetime(YEAR, 8, 16, 2, tzinfo=datetime.UTC)  # 22:00 of the day before in Toronto
    found = dates_of(season_calendar(organizer, YEAR, evening))
    assert [date for date, each in found.items() if each.is_today] == [datetime.date(YEAR, 8, 15)]


def test_a_date_says_what_the_calendars_of_all_sites_say_together(group, organizer):
    factories.make_site(group, name="Landing")
    own = {"window_opens": MonthDay(8, 3), "window_closes": MonthDay(12, 31), "window_authority": "Bird wardens"}
    factories.make_site(group, name="Quarry", **own)
    found = {date: each.openness for date, each in dates_of(season_calendar(organizer, YEAR, NOW)).items()}
    assert found[datetime.date(YEAR, 7, 14)] is Openness.CLOSED
    assert found[datetime.date(YEAR, 7, 15)] is Openness.SOME
    assert found[datetime.date(YEAR, 8, 3)] is Openness.OPEN
    assert found[datetime.date(YEAR, 10, 16)] is Openness.SOME


def test_a_closed_water_leaves_dry_ground_and_a_window_over_new_year_shows_the_whole_year(group, organizer):
    site = factories.make_site(group)
    factories.make_notice(site, scope=SiteNotice.Scope.IN_WATER, opens=MonthDay(8, 1), closes=MonthDay(8, 31))
    found = dates_of(season_calendar(organizer, YEAR, NOW))
    assert found[datetime.date(YEAR, 8, 15)].openness is Openness.DRY
    assert found[datetime.date(YEAR, 9, 15)].openness is Openness.OPEN
    own = {"window_opens": MonthDay(11, 1), "window_closes": MonthDay(2, 28), "window_authority": "Lake board"}
    type(site).objects.update(**own)
    assert len(season_calendar(organizer, YEAR, NOW).months) == 12


def test_weeks_say_in_words_what_is_open_and_how_full_their_days_are(group, organizer):
    stand = factories.make_stand(group)
    day = factories.make_day(stand, water_places=4, land_places=2)
    for _person in range(3):
        factories.make_sign_up(day, factories.make_member(group), place="land")
    factories.make_day(stand, status=WorkDay.Status.CANCELLED, water_places=9)
    july, august, *_rest = season_calendar(organizer, YEAR, NOW).months
    assert july.weeks[2].words == "closed 13–14, open 15–19"  # the week of 15 July 2026, a Wednesday
    (week,) = [week for week in august.weeks if week.has_marks]
    assert (week.number, week.words, week.taken, week.places) == (33, "open", 3, 6)  # ISO 8601: 15 August 2026
    assert [mark.detail for mark in dates_of(season_calendar(organizer, YEAR, NOW))[START.date()].marks] == [
        "3 of 6 places taken",
        "cancelled",
    ]


def test_what_falls_due_is_read_by_whoever_sees_to_it(client, group, organizer):
    stand = factories.make_stand(group, name="North bay")
    factories.make_zone(stand)
    day = factories.make_day(stand)
    entered = {"day": day, "entered_by": account_of(organizer), "entered_at": NOW}
    Load.objects.create(kind="bags", count=6, place="South bank", sun_until=datetime.date(YEAR, 8, 29), **entered)
    words = ("Survey North bay by now", "6 bags in the sun until here")
    read = {}
    with time_machine.travel(NOW, tick=False):
        for role in Role:
            client.force_login(account_of(factories.make_member(group, role=role)))
            page = client.get(reverse("workdays:season", args=[group.slug])).text
            assert day.title in page
            read[role] = tuple(each in page for each in words)
        for year in ("1", "20267", "soon", "2999"):
            assert "season 2026" in client.get(reverse("workdays:season", args=[group.slug]), {"year": year}).text
    assert read == {
        Role.ORGANIZER: (True, True),
        Role.COORDINATOR: (False, False),
        Role.CREW_LEAD: (False, True),
        Role.VOLUNTEER: (False, False),
    }


def test_it_takes_as_many_queries_for_many_days_sites_and_bags_as_for_one(group, organizer, count_queries):
    def fill(number):
        for _each in range(number):
            stand = factories.make_stand(group, site=factories.make_site(group))
            factories.make_zone(stand)
            day = factories.make_day(stand)
            factories.make_sign_up(day, factories.make_member(group))
            entered = {"day": day, "entered_by": account_of(organizer), "entered_at": NOW}
            Load.objects.create(kind="bags", count=1, place="Bank", sun_until=START.date(), **entered)

    fill(1)
    few = count_queries(lambda: season_calendar(organizer, YEAR, NOW))
    fill(5)
    assert count_queries(lambda: season_calendar(organizer, YEAR, NOW)) == few
