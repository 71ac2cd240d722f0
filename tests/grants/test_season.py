"""The season page: sums that add up, stands that close, what grew back, and what the next report still needs."""

import datetime
import xml.etree.ElementTree as ET
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from reedcrew.fieldbook.models import Tally
from reedcrew.grants.models import EarlierBatch, EarlierLine, Grant, HourEntry, ReportingDate
from reedcrew.grants.season import season_stands, season_sums
from reedcrew.people.roles import Role
from reedcrew.trade.decline import Course
from reedcrew.trade.identification import Identification
from reedcrew.trade.policy import DEFAULT_POLICY
from tests import factories
from tests.factories import NOW

pytestmark = pytest.mark.django_db

TODAY = NOW.date()


@pytest.fixture(autouse=True)
def _august():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def stand(group):
    return factories.make_stand(group, first_cut_year=2024)


@pytest.fixture
def zone(stand):
    return factories.make_zone(stand, area_m2=Decimal(100))


def date(month, day, year=2026):
    return datetime.date(year, month, day)


def work(stand, on, *members, minutes=120, stems=None, kind="field"):
    """A closed day with these members' hours, and one tally of its zone."""
    tallies = {} if stems is None else {stand.zones.get(): stems}
    day = factories.make_closed_day(stand, on, tallies=tallies)
    for member in members:
        enter(day, member, minutes, kind)
    return day


def enter(day, member, minutes, kind="field", **fields):
    return HourEntry.objects.create(
        group=day.group,
        member=member,
        day=day,
        stand=day.stand,
        date=day.date,
        kind=kind,
        evidence="" if kind == "field" else "fuel receipt",
        started_at=day.starts_at,
        ended_at=day.starts_at + datetime.timedelta(minutes=minutes),
        minutes=minutes,
        entered_by=factories.make_account(),
        entered_at=NOW,
        **fields,
    )


def import_earlier(stand, on, code, *, minutes=60, stems=None, state=EarlierBatch.State.IMPORTED):
    group, account = stand.site.group, factories.make_account()
    batch = EarlierBatch.objects.create(
        group=group, state=state, file_name="old.csv", suffix=".csv", digest=code, uploaded_by=account, uploaded_at=NOW
    )
    return EarlierLine.objects.create(
        batch=batch,
        group=group,
        row=2,
        date=on,
        stand=stand,
        name="Kept apart",
        code=code,
        minutes=minutes,
        stems=stems,
    )


def read(client, group, role=Role.COORDINATOR, **query):
    client.force_login(factories.make_member(group, role=role).account)
    return client.get(reverse("grants:season", args=[group.slug]), query)


# --- Sums ------------------------------------------------------------------------------------------------------------


def test_weeks_run_from_monday_to_sunday_and_add_up_to_the_year(group, stand, zone):
    """Saturday 1 and Sunday 2 August 2026 are one week with Monday 27 July; Monday 3 August begins the next."""
    ann, ben = factories.make_member(group), factories.make_member(group)
    work(stand, date(7, 27), ann, minutes=60, stems=100)
    work(stand, date(8, 2), ann, ben, minutes=90, stems=50)
    work(stand, date(8, 17), ben, minutes=30)
    sums = season_sums(group, year=2026, today=TODAY)
    assert [(week.first, week.last) for week in sums.weeks] == [
        (date(7, 27), date(8, 2)),
        (date(8, 3), date(8, 9)),
        (date(8, 10), date(8, 16)),
        (date(8, 17), date(8, 23)),
    ]
    assert [(week.days, week.people, week.minutes, week.stems) for week in sums.weeks] == [
        (2, 2, 240, 150),
        (0, 0, 0, 0),
        (0, 0, 0, 0),
        (1, 1, 30, 0),
    ]
    assert (sums.whole.days, sums.whole.people, sums.whole.minutes, sums.whole.untallied) == (3, 2, 270, 1)
    assert sum(week.minutes for week in sums.weeks) == sums.whole.minutes


def test_a_week_over_the_new_year_is_cut_at_it(group, stand, zone):
    """31 December 2025 is a Wednesday and 1 January 2026 the Thursday after it."""
    ann = factories.make_member(group)
    work(stand, date(12, 31, 2025), ann, minutes=60)
    work(stand, date(1, 1), ann, minutes=30)
    for year, first, last, minutes in (
        (2025, date(12, 29, 2025), date(12, 31, 2025), 60),
        (2026, date(1, 1), date(1, 4), 30),
    ):
        (week,) = season_sums(group, year=year, today=TODAY).weeks
        assert (week.first, week.last, week.minutes) == (first, last, minutes)


def test_corrections_count_and_what_they_correct_does_not(group, stand, zone):
    day = work(stand, date(8, 1))
    ann, ben = factories.make_member(group), factories.make_member(group)
    enter(day, ann, 60, corrects=enter(day, ann, 240), reason="left early")
    enter(day, ben, 0, corrects=enter(day, ben, 240), reason="was not there")
    enter(day, ann, 45, "travel")
    whole = season_sums(group, year=2026, today=TODAY).whole
    assert (whole.field, whole.other, whole.people) == (60, 45, 1)


def test_intervals_of_bundles_add_in_quadrature(group, stand, zone):
    """By hand: 400 (370 to 430) and 300 (260 to 340): 700 ± sqrt(30² + 40²) = 650 to 750."""
    day = work(stand, date(8, 1))
    for stems, low, high in ((400, 370, 430), (300, 260, 340)):
        Tally.objects.create(
            day=day,
            zone=zone,
            method="bundles",
            bundles=9,
            stems=stems,
            stems_low=low,
            stems_high=high,
            entered_by=factories.make_account(),
            entered_at=NOW,
        )
    (year,) = season_sums(group, year=None, today=TODAY).years
    assert (year.stems, year.low, year.high) == (700, 650, 750)


def test_imported_seasons_count_and_are_told_apart(client, group, stand, zone):
    ann = factories.make_member(group)
    work(stand, date(8, 1), ann, minutes=120, stems=100)
    import_earlier(stand, date(8, 5, 2023), ann.code, minutes=180, stems=700)
    import_earlier(stand, date(8, 6, 2023), "ZZZZ2222", minutes=60)
    import_earlier(stand, date(8, 7, 2023), "ZZZZ3333", state=EarlierBatch.State.UNDONE)
    sums = season_sums(group, year=None, today=TODAY)
    assert [(each.first.year, each.minutes, each.earlier, each.people) for each in sums.years] == [
        (2023, 240, 240, 2),
        (2026, 120, 0, 1),
    ]
    assert (sums.year, sums.years[0].all_stems, sums.years[0].stems) == (2026, 700, 0)
    page = read(client, group, year=2023)
    assert "Of these 4 h and 700 stems come from imported earlier seasons." in page.text
    assert "Kept apart" not in page.text


def test_another_groups_work_is_not_counted(group, stand, zone):
    other = factories.make_stand(factories.make_group())
    factories.make_zone(other)
    work(other, date(8, 1), factories.make_member(other.site.group), stems=100)
    import_earlier(other, date(8, 1), "ZZZZ2222")
    sums = season_sums(group, year=None, today=TODAY)
    assert (sums.years, sums.whole.minutes, sums.whole.all_stems) == ((), 0, 0)


# --- Stands ----------------------------------------------------------------------------------------------------------


def survey(stand, year, counts):
    factories.make_survey(stand, dict.fromkeys(stand.zones.all(), counts), surveyed_on=date(6, 20, year))


def test_stands_close_and_grow_back_as_their_surveys_say(group, stand, zone):
    """By hand: 100, 30 and 9 stems/m² on 100 m²: 30 % of last year's stood again; the other went from 20 to 0."""
    for year, counts in ((2024, [90, 100, 110]), (2025, [27, 30, 33]), (2026, [8, 9, 10])):
        survey(stand, year, counts)
    gone = factories.make_stand(group, first_cut_year=2024)
    factories.make_zone(gone, area_m2=Decimal(100))
    survey(gone, 2025, [10, 30])
    survey(gone, 2026, [0, 0])
    factories.make_stand(group, identification=Identification.NATIVE.value)
    found = season_stands(group, DEFAULT_POLICY, 2026)
    states = {each.stand: each for each in found.stands}
    assert states.keys() == {stand, gone}
    assert [each.stand for each in found.closing] == [gone]
    assert states[gone].again.ratio == 0
    assert states[stand].percent == pytest.approx(30)
    assert states[stand].low_percent < 30 < states[stand].high_percent
    assert (states[stand].decline.course, states[stand].decline.year) == (Course.DECLINING, 2028)
    assert found.regrowth[2026].stands == 2
    assert found.regrowth[2026].percent == pytest.approx(100 * 900 / 5_000)
    assert season_stands(group, DEFAULT_POLICY, 2025).regrowth[2025].percent == pytest.approx(30)


def test_a_stand_without_a_survey_this_year_is_named(client, group, stand, zone):
    survey(stand, 2025, [3, 4])
    page = read(client, group, Role.ORGANIZER, year=2026)
    assert "Plan a survey" in page.text
    assert reverse("stands:plan_survey", args=[group.slug, stand.pk]) in page.text
    assert "Plan a survey" not in read(client, group, Role.ORGANIZER, year=2024).text


# --- What is due -----------------------------------------------------------------------------------------------------


def make_grant(group, stand, name="Shore grant"):
    grant = Grant.objects.create(group=group, name=name, funder="Lake fund", starts_on=date(1, 1), ends_on=date(12, 31))
    grant.stands.add(stand)
    return grant


def test_the_next_report_names_what_it_lacks(client, group, stand, zone):
    grant = make_grant(group, stand)
    for due, covers in ((date(9, 30), date(8, 31)), (date(12, 31), date(11, 30))):
        ReportingDate.objects.create(grant=grant, due_on=due, covers_to=covers)
    work(stand, date(8, 1), factories.make_member(group), stems=10)
    page = read(client, group)
    assert "Due on Wed 30 September 2026, for the work up to Mon 31 August 2026" in page.text
    codes = [lack.code for lack in page.context["due"].lacks]
    assert codes == ["not_approved", "unclaimed", "rate_missing"]
    assert all(lack.url in page.text.replace("&amp;", "&") for lack in page.context["due"].lacks)
    assert "Survey 1 stand" in page.text
    assert [each.due_on for each in page.context["due"].later] == [date(12, 31)]


def test_a_report_past_its_day_is_late_and_one_that_was_sent_is_not_due(client, group, stand):
    grant = make_grant(group, stand)
    late = ReportingDate.objects.create(grant=grant, due_on=date(8, 1), covers_to=date(7, 31))
    assert read(client, group).context["due"].is_late
    ReportingDate.objects.filter(pk=late.pk).update(sent_at=NOW, sent_by=factories.make_account())
    page = read(client, group)
    assert page.context["due"] is None
    assert "No report is due." in page.text


def test_members_see_the_season_and_not_the_grants(client, group, stand, zone):
    ReportingDate.objects.create(grant=make_grant(group, stand), due_on=date(9, 30), covers_to=date(8, 31))
    work(stand, date(8, 1), factories.make_member(group, name="Priya"), stems=10)
    page = read(client, group, Role.VOLUNTEER)
    assert page.status_code == 200
    assert page.context["due"] is None
    assert "Shore grant" not in page.text
    assert "Priya" not in page.text


# --- Page and charts -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("year", ["", "soon", "99999", "1066", "-1", "٢٠٢٦"])
def test_a_year_that_is_none_shows_the_latest(client, group, stand, zone, year):
    work(stand, date(8, 1, 2025), factories.make_member(group))
    assert read(client, group, year=year).context["sums"].year == 2025


def test_charts_are_svg_and_unchanged_ones_are_not_drawn_again(client, group, stand, zone):
    work(stand, date(8, 1), factories.make_member(group), stems=10)
    read(client, group)
    address = reverse("grants:season_chart", args=[group.slug, 2026, "week-stems", "dark"])
    first = client.get(address)
    assert ET.fromstring(first.content).tag == "{http://www.w3.org/2000/svg}svg"
    assert client.get(address, headers={"If-None-Match": first["ETag"]}).status_code == 304
    for wrong in (address.replace("dark", "pink"), address.replace("stems", "loads"), address.replace("2026", "1")):
        assert client.get(wrong).status_code == 404


def test_queries_do_not_grow_with_days_stands_or_years(client, group, stand, zone, count_queries):
    ReportingDate.objects.create(grant=make_grant(group, stand), due_on=date(9, 30), covers_to=date(8, 31))
    work(stand, date(8, 1), factories.make_member(group), stems=10)
    survey(stand, 2026, [3, 4])
    read(client, group)

    def look():
        client.get(reverse("grants:season", args=[group.slug]))

    few = count_queries(look)
    for number in range(12):
        more = factories.make_stand(group)
        factories.make_zone(more, area_m2=Decimal(50))
        survey(more, 2026, [number, 4])
        survey(more, 2025, [number, 9])
        work(more, date(8, 1, 2020 + number % 7), factories.make_member(group), stems=5)
        import_earlier(more, date(8, 2, 2015 + number % 5), f"ZZZZ22{number:02}")
        ReportingDate.objects.create(
            grant=make_grant(group, more, f"Grant {number}"), due_on=date(10, 1), covers_to=date(9, 1)
        )
    assert count_queries(look) == few
