"""The years of a stand: work left, forecast, charts and tables."""

import datetime
import re
import xml.etree.ElementTree as ET
from decimal import Decimal
from html import unescape

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.people.policy import change_policy, policy_of
from reedcrew.people.roles import Role
from reedcrew.stands.queries import history, outlook, rates_of
from reedcrew.trade.decline import Course
from reedcrew.trade.effort import STARTING_CREW
from reedcrew.trade.policy import DEFAULT_POLICY
from tests.factories import (
    NOW,
    make_account,
    make_closed_day,
    make_group,
    make_member,
    make_stand,
    make_survey,
    make_zone,
)

pytestmark = pytest.mark.django_db

JUNE = datetime.date(2026, 6, 20)


def day(month, number, year=2026):
    return datetime.date(year, month, number)


@pytest.fixture(autouse=True)
def _august():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def stand():
    return make_stand(make_group(), first_cut_year=2024)


@pytest.fixture
def zone(stand):
    return make_zone(stand, depth_cm=60, area_m2=Decimal(100), stems=0)


@pytest.fixture
def volunteer(client, stand):
    client.force_login(make_member(stand.site.group).account)
    return client


def three_surveys(stand, zone, *more):
    """About 100, 30 and 9 stems/m² in June of three years."""
    for year, counts in ((2024, [90, 100, 110]), (2025, [27, 30, 33]), (2026, [8, 9, 10])):
        make_survey(stand, dict.fromkeys((zone, *more), counts), surveyed_on=day(6, 20, year))


def url(name, stand, *args):
    return reverse(f"stands:{name}", args=[stand.site.group.slug, stand.pk, *args])


def text_of(response):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def codes(reasons):
    return [each.code for each in reasons]


# --- Work left -------------------------------------------------------------------------------------------------------


def test_what_was_cut_since_the_survey_is_taken_off(stand, zone):
    """By hand: 9 stems/m² × 100 m² = 900 in June; 250 cut in July; what was cut before the survey stays off."""
    three_surveys(stand, zone)
    make_closed_day(stand, day(7, 25), tallies={zone: 250}, in_water=2)
    make_closed_day(stand, day(6, 1), tallies={zone: 99}, in_water=2)
    found = outlook(stand, DEFAULT_POLICY, NOW)
    assert (found.work.stems.value, found.cut_since) == (650, 250)
    assert "effort.cut_since" in codes(found.methods)


def test_what_was_cut_in_an_earlier_year_is_not_taken_off(stand):
    zone = make_zone(stand, stems=4_000, surveyed_on=day(6, 20, 2025))
    make_closed_day(stand, day(8, 1, 2025), tallies={zone: 1_000}, in_water=2)
    found = outlook(stand, DEFAULT_POLICY, NOW)
    assert (found.work.stems.value, found.cut_since) == (4_000, 0)
    assert "effort.old_survey" in codes(found.methods)


def test_the_rate_is_learned_from_the_group_s_days(stand, zone):
    """By hand: 2 h × 100 + 1,400 stems over 2 h + 4 × 3.5 h = 100; on land 300 + 0 over 2 h: no record."""
    other = make_stand(stand.site.group)
    make_closed_day(other, day(8, 1), tallies={make_zone(other): 2_400}, in_water=8, hours=3)
    rates = rates_of(stand.site.group, DEFAULT_POLICY)
    assert rates.in_water.stems_per_hour == pytest.approx((200 + 2_400) / 26)
    assert (rates.in_water.days, rates.on_land.days) == (1, 0)
    assert rates.on_land.stems_per_hour == DEFAULT_POLICY.land_stems_per_hour


def test_a_day_without_a_tally_teaches_no_rate(stand, zone):
    make_closed_day(stand, day(8, 1), tallies={}, in_water=8)
    assert rates_of(stand.site.group, DEFAULT_POLICY).in_water.days == 0


def test_the_usual_crew_is_the_stand_s_own_or_else_the_group_s(stand, zone):
    assert outlook(stand, DEFAULT_POLICY, NOW).work.crew == STARTING_CREW
    other = make_stand(stand.site.group)
    make_closed_day(other, day(8, 1), tallies={make_zone(other): 10}, in_water=8, on_land=2, hours=3)
    found = outlook(stand, DEFAULT_POLICY, NOW)
    assert (found.work.crew.in_water, found.crew_reason.code) == (8, "effort.crew_of_group")
    make_closed_day(stand, day(8, 1), tallies={zone: 10}, in_water=4, on_land=2, hours=3)
    found = outlook(stand, DEFAULT_POLICY, NOW)
    assert (found.work.crew.in_water, found.crew_reason.code) == (4, "effort.crew_usual")


def test_zones_in_water_and_on_land_are_told_apart(stand, zone):
    make_zone(stand, depth_cm=0, stems=1_500)
    three_surveys(stand, zone)
    sides = {side.in_water: side for side in outlook(stand, DEFAULT_POLICY, NOW).work.sides}
    assert (sides[True].standing.stems, sides[False].standing.stems) == (900, 1_500)
    assert sides[True].standing.low < 900 < sides[True].standing.high
    assert sides[False].person_hours.value == pytest.approx(10)


# --- Forecast --------------------------------------------------------------------------------------------------------


def test_the_forecast_rests_on_the_stand_s_own_surveys(stand, zone):
    """0.3 a year: 1 % after ln(0.01) / ln(0.3) = 3.8 years, the survey of 2028."""
    three_surveys(stand, zone)
    found = outlook(stand, DEFAULT_POLICY, NOW).decline
    assert (found.course, found.year) == (Course.DECLINING, 2028)
    assert found.line.factor.value == pytest.approx(0.3, abs=0.001)
    assert {"decline.published_water", "decline.slower"} <= set(codes(found.reasons))


def test_a_survey_of_a_part_is_no_total_of_the_stand(stand, zone):
    three_surveys(stand, zone)
    make_zone(stand, area_m2=Decimal(50))
    found = outlook(stand, DEFAULT_POLICY, NOW)
    assert (found.decline.course, found.partial_surveys) == (Course.TOO_FEW, 3)


def test_a_survey_in_autumn_of_the_same_year_does_not_bend_the_line(stand, zone):
    three_surveys(stand, zone)
    make_survey(stand, {zone: [0, 1, 1]}, surveyed_on=day(8, 9))
    assert outlook(stand, DEFAULT_POLICY, NOW).decline.year == 2028


def test_the_group_s_threshold_decides_the_year(stand, zone):
    three_surveys(stand, zone)
    change_policy(group=stand.site.group, actor=make_account(), now=NOW, gone_percent=5.0)
    assert outlook(stand, policy_of(stand.site.group), NOW).decline.year == 2027  # ln(0.05) / ln(0.3) = 2.5 years


# --- Pages -----------------------------------------------------------------------------------------------------------


def test_the_stand_s_page_says_what_is_left_and_when_it_is_gone(volunteer, stand, zone):
    three_surveys(stand, zone)
    shown = text_of(volunteer.get(url("stand", stand)))
    assert "Person-hours left" in shown
    assert "Crew-days left" in shown
    assert "Should be nearly gone in 2028." in shown
    assert "Bickford and others 2026" in shown


def test_the_stand_s_page_says_why_no_year_can_be_named(volunteer, stand, zone):
    shown = text_of(volunteer.get(url("stand", stand)))
    assert "When it should be gone cannot be said yet." in shown
    assert "How many stems stand is not known" in shown


def test_the_history_tells_surveys_and_years(volunteer, stand, zone):
    three_surveys(stand, zone)
    make_closed_day(stand, day(8, 2, 2025), tallies={zone: 1_234}, in_water=2, on_land=1, hours=4)
    make_closed_day(stand, day(8, 9, 2025), tallies={}, in_water=2, hours=4)
    (row,) = history(stand, DEFAULT_POLICY, NOW).years
    assert (row.year, row.days, row.untallied, row.stems, row.person_hours) == (2025, 2, 1, 1_234, 20)
    shown = text_of(volunteer.get(url("history", stand)))
    assert "10,000" in shown  # 100 stems/m² × 100 m² in 2024
    assert "1,234" in shown
    assert "1 without a tally" in shown
    assert "Student's t and Satterthwaite's degrees of freedom" in shown


def test_without_anything_the_history_says_what_is_missing(volunteer, stand):
    shown = text_of(volunteer.get(url("history", stand)))
    assert "No survey with quadrats is recorded." in shown
    assert "No work day is closed here yet." in shown


def test_another_crew_can_be_asked_for(volunteer, stand, zone):
    """By hand: 900 stems at 100 an hour are 9 h; 3 people × 3 h do it in a day."""
    three_surveys(stand, zone)
    answer = volunteer.get(url("history", stand), {"in_water": 3, "on_land": 0, "hours": "3"})
    work = answer.context["outlook"].work
    assert (work.crew.in_water, work.crew.hours) == (3, 3)
    assert work.crew_days.value == pytest.approx(1)
    assert "For the crew that was asked for." in text_of(answer)


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"in_water": "-1", "on_land": "0", "hours": "3"}, "in_water"),
        ({"in_water": "3", "on_land": "many", "hours": "3"}, "on_land"),
        ({"in_water": "3", "on_land": "0", "hours": "0"}, "hours"),
        ({"in_water": "3", "on_land": "0", "hours": "25"}, "hours"),
        ({"in_water": "3", "on_land": "0", "hours": "nan"}, "hours"),
        ({"in_water": "3"}, "hours"),
    ],
)
def test_an_impossible_crew_is_refused_at_its_field(volunteer, stand, zone, asked, field):
    answer = volunteer.get(url("history", stand), asked)
    assert answer.status_code == 200
    assert field in answer.context["form"].errors
    assert answer.context["outlook"].work.crew == STARTING_CREW


@pytest.mark.parametrize("name", ["stand", "history"])
def test_the_number_of_queries_does_not_grow(volunteer, stand, zone, name):
    three_surveys(stand, zone)
    make_closed_day(stand, day(7, 18), tallies={zone: 10}, in_water=2)
    volunteer.get(url(name, stand))
    with CaptureQueriesContext(
        connection,
    ) as few:
        volunteer.get(url(name, stand))
    more = [make_zone(stand, area_m2=Decimal(10)) for _number in range(5)]
    three_surveys(stand, zone, *more)
    for number in range(6):
        make_closed_day(stand, day(7, 20 + number), tallies={zone: 10, more[0]: 4}, in_water=2, on_land=2)
    with CaptureQueriesContext(connection) as many:
        volunteer.get(url(name, stand))
    assert len(many) == len(few)


# --- Charts ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("chart", ["stems", "cut", "hours"])
def test_a_chart_is_a_private_image_that_is_drawn_once(volunteer, stand, zone, chart, theme):
    three_surveys(stand, zone)
    make_closed_day(stand, day(8, 2, 2025), tallies={zone: 1_234}, in_water=2)
    answer = volunteer.get(url("history_chart", stand, chart, theme))
    assert answer["Content-Type"] == "image/svg+xml"
    assert "private" in answer["Cache-Control"]
    assert ET.fromstring(answer.content).tag == "{http://www.w3.org/2000/svg}svg"
    again = volunteer.get(url("history_chart", stand, chart, theme), headers={"if-none-match": answer["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    make_survey(stand, {zone: [1, 2, 3]}, surveyed_on=day(7, 20))
    make_closed_day(stand, day(8, 3), tallies={zone: 7}, in_water=2)
    assert volunteer.get(url("history_chart", stand, chart, theme))["ETag"] != answer["ETag"]


def test_charts_of_a_stand_without_anything_are_drawn(volunteer, stand):
    for chart in ("stems", "cut", "hours"):
        assert volunteer.get(url("history_chart", stand, chart, "light")).status_code == 200


@pytest.mark.parametrize(("chart", "theme"), [("other", "light"), ("stems", "sepia")])
def test_an_unknown_chart_is_absent(volunteer, stand, chart, theme):
    assert volunteer.get(url("history_chart", stand, chart, theme)).status_code == 404


@pytest.mark.parametrize(("name", "args"), [("history", ()), ("history_chart", ("stems", "light"))])
def test_another_group_s_stand_is_absent(client, stand, name, args):
    other = make_group()
    client.force_login(make_member(other, role=Role.ORGANIZER).account)
    assert client.get(url(name, stand, *args)).status_code == 404
    stranger = reverse(f"stands:{name}", args=[other.slug, stand.pk, *args])
    assert client.get(stranger).status_code == 404
