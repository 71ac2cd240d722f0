"""Pages of notices, of a site's calendar, and what a stand's page says of next Saturday."""

import pytest

from reedcrew.stands.models import SiteNotice
from reedcrew.trade.season import MonthDay
from tests.factories import make_notice, make_site, make_stand, make_zone
from tests.stands.pages import form_data, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def notice_data(**values):
    return {
        "submission": "6c5e11f5-2d7e-4b73-9a63-0f2ed2cd9f01",
        "issuer": "Lake wardens",
        "reference": "Notice 7",
        "issued_on": "2026-05-01",
        "kind": "spawning",
        "effect": "forbids",
        "scope": "water",
        "force": "stop",
        "opens_day": "15",
        "opens_month": "3",
        "closes_day": "15",
        "closes_month": "7",
        "year": "",
        "note": "Keep 30 m from the inlet.",
        **values,
    }


def test_a_notice_is_recorded_once_and_shown_as_issued(organizer, group):
    site = make_site(group)
    assert "Where it and this page differ, the notice holds" in text_of(
        organizer.get(url("record_notice", group, site.pk))
    )
    for _press in range(2):
        assert organizer.post(url("record_notice", group, site.pk), notice_data()).status_code == 302
    assert SiteNotice.objects.count() == 1
    said = text_of(organizer.get(url("notices", group, site.pk)))
    for words in (
        "Lake wardens, Notice 7",
        "work in water only",
        "from 15 March to 15 July",
        "every year",
        "30 m from",
    ):
        assert words in said
    assert "Recorded by Robin Alder" in said
    assert "Lake wardens" in text_of(organizer.get(url("site", group, site.pk)))


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"issuer": ""}, "issuer", "required"),
        ({"opens_day": "31", "opens_month": "2"}, "opens", "February has 29 days"),
        ({"opens_day": "29", "opens_month": "2", "year": "2026"}, "opens", "this year has"),
        ({"closes_day": ""}, "closes", "both the day and the month"),
        ({"issued_on": "2026-08-11"}, "issued_on", "today is 10 August 2026"),
        ({"kind": ""}, "kind", "required"),
        ({"year": "26"}, "year", "Write 1900 or more"),
    ],
)
def test_a_notice_s_form_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    site = make_site(group)
    response = organizer.post(url("record_notice", group, site.pk), notice_data(**values))
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    assert "Keep 30 m from the inlet." in response.text
    assert not SiteNotice.objects.exists()


def test_a_notice_is_changed_and_ended_and_stays_in_the_list(organizer, group):
    notice = make_notice(make_site(group))
    site = notice.site
    change = url("change_notice", group, site.pk, notice.pk)
    data = {key: value for key, value in form_data(organizer.get(change)).items() if value is not None}
    for _press in range(2):
        assert organizer.post(change, {**data, "closes_day": "20"}).status_code == 302
    notice.refresh_from_db()
    assert (notice.closes, notice.version) == (MonthDay(8, 20), 2)
    end = url("end_notice", group, site.pk, notice.pk)
    refused = organizer.post(end, {"until": "2026-08-09", "because": ""})
    assert "because" in refused.context["form"].errors
    assert organizer.post(end, {"until": "2026-08-09", "because": "Withdrawn"}).status_code == 302
    said = text_of(organizer.get(url("notices", group, site.pk)))
    assert "Notices that have ended" in said
    assert "Held until Sun 9 August 2026: Withdrawn" in said


def test_the_end_of_a_notice_is_taken_back_from_the_list(organizer, group):
    notice = make_notice(make_site(group))
    notices = url("notices", group, notice.site.pk)
    organizer.post(url("end_notice", group, notice.site.pk, notice.pk), {"until": "2026-08-09", "because": "Withdrawn"})
    assert f"Take back its end : {notice}" in text_of(organizer.get(notices))
    back = url("resume_notice", group, notice.site.pk, notice.pk)
    for _press in range(2):
        assert "The notice holds again" in text_of(organizer.post(back, follow=True))
    notice.refresh_from_db()
    assert (notice.until, notice.ended_because, notice.version) == (None, "", 3)


def test_a_notice_of_another_site_is_not_there(organizer, group):
    notice = make_notice(make_site(group))
    other = make_site(group)
    assert organizer.get(url("change_notice", group, other.pk, notice.pk)).status_code == 404
    assert organizer.get(url("end_notice", group, other.pk, notice.pk)).status_code == 404


def test_the_calendar_says_each_week_in_words_and_leads_to_other_years(volunteer, group):
    site = make_site(group)
    make_notice(site, scope=SiteNotice.Scope.IN_WATER, opens=MonthDay(8, 1), closes=MonthDay(8, 31))
    page = volunteer.get(url("calendar", group, site.pk))
    said = text_of(page)
    assert "Work is permitted on 93 days of the year, of these in water on 62." in said
    for words in ("October 2026", "dry ground only", "closed", "open", "10–16 today", "common practice"):
        assert words in said
    assert "Work in water is forbidden from 1 August to 31 August by Lake wardens" in said
    assert 'href="?year=2027"' in page.text
    assert "Calendar of" in text_of(volunteer.get(url("calendar", group, site.pk), {"year": "2027"}))


@pytest.mark.parametrize("year", ["x", "99999", "1", "-1", "", "٢٠٢٦"])
def test_a_year_that_is_none_is_not_found(volunteer, group, year):
    assert volunteer.get(url("calendar", group, make_site(group).pk), {"year": year}).status_code == 404


@pytest.mark.parametrize(
    ("depth_cm", "notice", "words"),
    [
        (60, None, "Yes, as far as this page knows."),
        (60, "water", "No."),
        (0, "water", "On dry ground only, as far as this page knows."),
        (0, "site", "No. The calendar closes the day."),
        (120, None, "At today's depth no zone is open on that day."),
    ],
)
def test_a_stand_s_page_answers_for_next_saturday(volunteer, group, depth_cm, notice, words):
    stand = make_stand(group)
    make_zone(stand, name="Edge", depth_cm=depth_cm)
    if notice:
        make_notice(stand.site, scope=notice)
    said = text_of(volunteer.get(stand.get_absolute_url()))
    assert "May we work next Saturday, 15 August 2026?" in said
    assert words in said
    assert "Local rules, permits and the crew lead on site still decide" in said
