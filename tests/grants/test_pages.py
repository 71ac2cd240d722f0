"""The ledger and grants through HTTP, as a coordinator uses them."""

import csv
import datetime
import io

import pytest
from django.urls import reverse

from reedcrew.grants.models import Grant, HourEntry, ReportingDate
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db


@pytest.fixture
def coordinator(client, group):
    member = factories.make_member(group, role=Role.COORDINATOR)
    client.force_login(member.account)
    return member


@pytest.fixture
def day(group):
    return factories.make_day(factories.make_stand(group))


def make_entry(day, *, minutes=120, **fields) -> HourEntry:
    return HourEntry.objects.create(
        **{
            "group": day.group,
            "member": factories.make_member(day.group),
            "day": day,
            "stand": day.stand,
            "date": day.date,
            "started_at": START,
            "ended_at": START + datetime.timedelta(minutes=minutes),
            "minutes": minutes,
            "entered_by": factories.make_account(),
            "entered_at": NOW,
            **fields,
        }
    )


def address(name, group, *args):
    return reverse(f"grants:{name}", args=[group.slug, *args])


def rows_of(response) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(response.getvalue().decode("utf-8-sig"))))


def grant_form(*stands, **changes):
    return {
        "name": "Shore grant",
        "funder": "Lake fund",
        "number": "LF-1",
        "starts_on": "2026-04-01",
        "ends_on": "2027-03-31",
        "stands": [stand.pk for stand in stands],
        "kinds": ["field", "travel", "preparation"],
        "activities": ["water", "land", "survey", "gear", "planning", "way"],
        "currency": "usd",
        "rounding": "none",
        "note": "",
        **changes,
    }


def test_a_grant_claims_its_hours_and_its_download_adds_up(client, group, coordinator, day):
    for minutes in (120, 95):
        make_entry(day, minutes=minutes)
    page = client.post(address("new_grant", group), grant_form(day.stand), follow=True)
    assert "2 entries on its stands in its period are unclaimed" in page.text
    grant = Grant.objects.get()
    page = client.post(address("claim", group, grant.pk), follow=True)
    assert "2 entries now count toward it" in page.text
    assert "3 h 35 min" in page.text
    rows = rows_of(client.get(address("hours_csv", group), {"grant": grant.pk}))
    assert sum(int(row["minutes"]) for row in rows) == 215


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"ends_on": "2026-03-01"}, "must not be before the first"),
        ({"name": ""}, "Name"),
        ({"stands": []}, "Eligible stands"),
        ({"starts_on": "soon"}, "First day"),
    ],
)
def test_a_grant_that_cannot_be_names_the_field_and_keeps_the_rest(client, group, coordinator, day, changes, words):
    response = client.post(address("new_grant", group), grant_form(day.stand, **{"note": "My note", **changes}))
    assert response.status_code == 200
    assert words in response.text
    assert "My note" in response.text
    assert not Grant.objects.exists()


def test_a_report_marked_as_sent_by_mistake_is_due_again(client, group, coordinator, day):
    client.post(address("new_grant", group), grant_form(day.stand))
    grant = Grant.objects.get()
    due = ReportingDate.objects.create(
        grant=grant, due_on=datetime.date(2026, 12, 31), covers_to=datetime.date(2026, 9, 30)
    )
    sent = address("report_sent", group, grant.pk, due.pk)
    assert "No report is due" in client.post(sent, follow=True).text
    assert "Due on Thu 31 December 2026" in client.post(sent, {"back": "yes"}, follow=True).text


def test_two_grants_of_one_name_are_told_apart(client, group, coordinator, day):
    client.post(address("new_grant", group), grant_form(day.stand))
    response = client.post(address("new_grant", group), grant_form(day.stand))
    assert response.status_code == 200
    assert Grant.objects.count() == 1


def test_a_stand_of_another_group_is_no_choice(client, group, coordinator):
    foreign = factories.make_stand(factories.make_group())
    assert client.post(address("new_grant", group), grant_form(foreign)).status_code == 200
    assert not Grant.objects.exists()


def test_a_correction_shows_its_reason(client, group, coordinator, day):
    entry = make_entry(day)
    sent = {
        "started_at_day": "2026-08-15",
        "started_at_time": "09:00",
        "ended_at_day": "2026-08-15",
        "ended_at_time": "10:00",
        "role": "crew",
        "activity": "land",
        "reason": "Left at ten",
    }
    assert (
        "before the start" in client.post(address("correct", group, entry.pk), {**sent, "ended_at_time": "08:00"}).text
    )
    page = client.post(address("correct", group, entry.pk), sent, follow=True)
    assert "Left at ten" in page.text
    assert HourEntry.objects.standing().get().minutes == 60


@pytest.mark.parametrize("name", ["hours_csv", "stems_csv"])
def test_a_period_that_ends_before_it_begins_gives_no_file(client, group, coordinator, name):
    response = client.get(address(name, group), {"first": "2026-08-02", "last": "2026-08-01"})
    assert response.status_code == 400
    assert "must not end before it begins" in response.text


def test_the_download_names_nobody_and_no_address(client, group, coordinator, day):
    make_entry(day, member=factories.make_member(group, name="Priya"), entered_by=coordinator.account)
    response = client.get(address("hours_csv", group))
    (row,) = rows_of(response)
    assert row["entered by"] == coordinator.code
    assert "@" not in response.getvalue().decode()
    assert "Priya" not in response.getvalue().decode()


def test_a_slice_is_cut_by_stand_and_period(client, group, coordinator, day):
    make_entry(day, minutes=10)
    make_entry(day, minutes=20, date=datetime.date(2026, 9, 1))
    other = factories.make_day(factories.make_stand(group))
    make_entry(other, minutes=40)
    rows = rows_of(client.get(address("hours_csv", group), {"stand": day.stand.pk, "last": "2026-08-31"}))
    assert [row["minutes"] for row in rows] == ["10"]


@pytest.mark.parametrize(
    ("role", "status"),
    [(Role.ORGANIZER, 200), (Role.COORDINATOR, 200), (Role.CREW_LEAD, 403), (Role.VOLUNTEER, 403)],
)
def test_hours_are_for_the_office(client, group, day, role, status):
    client.force_login(factories.make_member(group, role=role).account)
    for name in ("hours", "grants", "hours_csv", "stems_csv", "new_grant"):
        assert client.get(address(name, group)).status_code == status


def test_an_entry_of_another_group_is_as_absent(client, group, coordinator):
    foreign = make_entry(factories.make_day(factories.make_stand(factories.make_group())))
    assert client.get(address("correct", group, foreign.pk)).status_code == 404


def test_lists_take_as_many_queries_at_300_rows_as_at_20(client, group, coordinator, day, count_queries):
    pages = [address("hours", group), address("grants", group), address("hours_csv", group)]
    client.get(pages[0])  # the first request of a session also notes the session

    def look(page):
        return count_queries(lambda: b"".join(client.get(page)))

    def add(number):
        for _i in range(number):
            make_entry(day, member=coordinator, entered_by=coordinator.account)
            Grant.objects.create(
                group=group,
                name=f"Grant {Grant.objects.count()}",
                funder="Fund",
                starts_on=START.date(),
                ends_on=START.date(),
            )

    add(20)
    few = [look(page) for page in pages]
    add(280)
    assert [look(page) for page in pages] == few
