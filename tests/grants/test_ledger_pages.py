"""Approval, travel, values and claims through HTTP, as a coordinator uses them."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from reedcrew.grants.models import Claim, HourEntry, HourlyRate
from reedcrew.people.roles import Role
from tests import factories
from tests.grants.days import make_closed, make_grant

pytestmark = pytest.mark.django_db


@pytest.fixture
def coordinator(client, group):
    member = factories.make_member(group, role=Role.COORDINATOR, name="Tuva Quist")
    client.force_login(member.account)
    return member


@pytest.fixture
def day(group):
    return make_closed(factories.make_stand(group))


def address(name, group, *args):
    return reverse(f"grants:{name}", args=[group.slug, *args])


def travel_form(*members, **changes):
    return {
        "activity": "way",
        "role": "crew",
        "started_at_day": "2026-08-15",
        "started_at_time": "08:00",
        "ended_at_day": "2026-08-15",
        "ended_at_time": "09:00",
        "members": [member.pk for member in members],
        "evidence": "31 km by car",
        **changes,
    }


def test_a_day_is_approved_locked_and_opened_again(client, group, coordinator, day):
    entry = HourEntry.objects.get()
    assert "1 closed day waits for approval" in client.get(address("approvals", group)).text
    page = client.post(address("approve", group, day.pk), follow=True)
    assert "approved and locked" in page.text
    assert "Approved by Tuva Quist: 1 entry" in page.text
    assert "0 closed days wait" in client.get(address("approvals", group)).text
    refused = client.post(address("correct", group, entry.pk), travel_form(reason="Late", activity="land"))
    assert "approved by Tuva Quist" in refused.text
    assert "Late" in refused.text
    page = client.post(address("reopen", group, day.pk), {"reason": "Wrong end"}, follow=True)
    assert "Opened again by Tuva Quist: Wrong end" in page.text


def test_travel_is_entered_with_a_photo_that_is_written_anew_and_served_as_a_download(client, group, coordinator, day):
    picture = io.BytesIO()
    Image.new("RGB", (20, 10), "green").save(picture, "PNG")
    slip = SimpleUploadedFile("../=slip.png", picture.getvalue(), "image/png")
    page = client.post(address("add_hours", group, day.pk), travel_form(coordinator, evidence_file=slip), follow=True)
    assert "31 km by car" in page.text
    entry = HourEntry.objects.get(kind="travel")
    assert entry.evidence_file.name.endswith(".jpg")
    served = client.get(address("evidence", group, entry.pk))
    assert b"".join(served).startswith(b"\xff\xd8")
    assert served["Content-Disposition"].startswith("attachment")
    assert served["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"evidence": ""}, "What shows it"),
        ({"members": []}, "Who"),
        ({"started_at_time": "09:30"}, "before the start"),
        ({"evidence_file": SimpleUploadedFile("run.exe", b"MZ\x90")}, "Send a PDF file, or a photo"),
        ({"activity": "water"}, "Select a valid choice"),
    ],
    ids=["evidence", "nobody", "times", "file", "activity"],
)
def test_travel_that_cannot_be_names_the_field_and_keeps_the_rest(client, group, coordinator, day, changes, words):
    sent = travel_form(coordinator, **{"evidence": "My evidence", **changes})
    page = client.post(address("add_hours", group, day.pk), sent)
    assert words in page.text
    assert 'value="08:00"' in page.text or "started_at_time" in changes
    assert HourEntry.objects.count() == 1


def test_hours_are_claimed_by_day_shown_refused_and_released(client, group, coordinator, day):
    first, second = make_grant(group, day.stand), make_grant(group, day.stand, name="Second")
    page = client.get(address("claims", group, first.pk))
    assert "1 entry that fits the grant is unclaimed" in page.text
    client.post(address("claim", group, first.pk), {"day": day.pk})
    entry = HourEntry.objects.get()
    refused = client.post(address("entry", group, entry.pk), {"grant": second.pk})
    assert "These hours count toward Shore grant already: Tuva Quist assigned them" in refused.text
    assert "Shore grant: 4 h" in client.get(address("claims", group, second.pk)).text
    page = client.post(address("release", group, entry.pk), {"reason": "Wrong grant"}, follow=True)
    assert "Shore grant: Wrong grant" in page.text
    client.post(address("entry", group, entry.pk), {"grant": second.pk})
    assert Claim.objects.get().grant == second


def test_a_missing_value_leads_to_the_form_that_enters_it(client, group, coordinator, day):
    grant = make_grant(group, day.stand)
    page = client.get(address("grant", group, grant.pk))
    assert "No value is known for an hour of “crew work” in USD on Sat 15 August 2026" in page.text
    where = f"{address('record_rate', group)}?role=crew&since=2026-08-15&currency=USD"
    assert where.replace("&", "&amp;") in page.text
    assert 'value="2026-08-15"' in client.get(where).text
    sent = {
        "role": "crew",
        "since": "2026-01-01",
        "hourly": "15.84",
        "currency": "usd",
        "fringe_percent": "30",
        "source": "Wage table",
        "source_date": "2020-05-01",
    }
    client.post(where, sent)
    assert "82.37" in client.get(address("grant", group, grant.pk)).text  # 4 × 15.84 × 1.30 = 82.368
    assert "There is a value for this role from that day already: 15.84 USD" in client.post(where, sent).text
    rate = HourlyRate.objects.get()
    page = client.post(address("withdraw_rate", group, rate.pk), {"reason": "Wrong table"}, follow=True)
    assert "Wrong table" in page.text


def test_match_is_worked_out_from_award_and_share(client, group, coordinator, day):
    """30 000 at a share of 25 %: 10 000."""
    sent = {
        "name": "Award",
        "funder": "Lake fund",
        "starts_on": "2026-04-01",
        "ends_on": "2027-03-31",
        "stands": [day.stand.pk],
        "kinds": ["field"],
        "activities": ["water"],
        "currency": "CAD",
        "rounding": "quarter",
        "share_percent": "25",
    }
    assert "Write the award too" in client.post(address("new_grant", group), sent).text
    page = client.post(address("new_grant", group), {**sent, "award": "30000"}, follow=True)
    assert "0.00 of 10,000.00 CAD count" in page.text


@pytest.mark.parametrize("name", ["approve", "reopen", "add_hours"])
def test_a_crew_lead_neither_approves_nor_enters(client, group, day, name):
    client.force_login(factories.make_member(group, role=Role.CREW_LEAD).account)
    assert client.post(address(name, group, day.pk)).status_code == 403
    assert client.get(address("day_hours", group, day.pk)).status_code == 403
