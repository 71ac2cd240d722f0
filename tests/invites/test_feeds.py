"""Calendars to subscribe to, read by two libraries; case 39 of the invites, RFC 9110 sections 8.8.3 and 13.1.2."""

import datetime
import logging

import pytest
import time_machine

from reedcrew.invites import feeds
from reedcrew.invites.models import CalendarEntry
from reedcrew.people.roles import Role
from reedcrew.web.logs import PlainLines
from reedcrew.workdays import services as workdays
from tests import factories
from tests.factories import NOW
from tests.invites.byte_checks import byte_faults
from tests.invites.readings import by_ical, by_icalendar

pytestmark = pytest.mark.django_db


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER).account


@pytest.fixture
def stand(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return stand


@pytest.fixture
def member(group):
    return factories.make_member(group, name="Ada Marsh")


def sign_up(day, member):
    return workdays.sign_up(day=day, member=member, place="water", actor=member.mail_account, now=NOW).sign_up


def poll(client, address: str, now=NOW, **headers):
    with time_machine.travel(now, tick=False):
        return client.get(address, headers=headers)


def own_address(account) -> str:
    return f"/feed/{feeds.make_address(account=account, now=NOW)}.ics"


def test_a_person_s_calendar_holds_their_own_days_and_their_children_s(client, group, stand, member):
    day = factories.make_day(stand, title="Outer edge")
    child = factories.make_child(member, name="Tom Marsh")
    sign_up(day, member)
    workdays.sign_up(day=day, member=child, place="land", actor=member.account, now=NOW)
    sign_up(day, factories.make_member(group, name="Somebody Else"))
    response = poll(client, own_address(member.account))
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert byte_faults(response.content) == []
    assert [event.summary for event in by_icalendar(response.content)] == ["Outer edge"] * 2
    assert [event.start for event in by_ical(response.content)] == [day.starts_at] * 2
    for word in (b"METHOD", b"ORGANIZER", b"ATTENDEE", b"VALARM", b"Somebody Else", b"@example.org"):
        assert word not in response.content
    assert b"REFRESH-INTERVAL;VALUE=DURATION:PT6H" in response.content


def test_a_poll_of_the_known_state_builds_no_calendar(client, stand, member, count_queries):
    day = factories.make_day(stand)
    sign_up(day, member)
    address = own_address(member.account)
    first, second = poll(client, address), poll(client, address)
    assert (first.content, first["ETag"]) == (second.content, second["ETag"])
    answers = []
    queries = count_queries(lambda: answers.append(poll(client, address, **{"If-None-Match": first["ETag"]})))
    assert (answers[0].status_code, answers[0].content, queries) == (304, b"", 2)
    assert answers[0]["Cache-Control"] == "private, max-age=900"
    assert not answers[0].cookies


def test_a_calendar_takes_as_many_queries_for_many_days_as_for_one(client, stand, member, count_queries):
    address = own_address(member.account)
    sign_up(factories.make_day(stand), member)
    few = count_queries(lambda: poll(client, address))
    for _ in range(8):
        sign_up(factories.make_day(stand), member)
    assert count_queries(lambda: poll(client, address)) == few


def test_every_change_of_a_day_changes_the_tag(client, stand, member, organizer):
    day = factories.make_day(stand)
    sign_up_row = sign_up(day, member)
    address = own_address(member.account)
    tags = [poll(client, address)["ETag"]]
    facts = workdays.DayFacts(
        title="Inner edge",
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        zones=list(day.zones.all()),
        water_places=4,
        land_places=4,
    )
    workdays.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=NOW)
    tags.append(poll(client, address)["ETag"])
    other = factories.make_day(stand)
    sign_up(other, member)
    tags.append(poll(client, address)["ETag"])
    workdays.cancel_day(day=other, reason="High water", actor=organizer, now=NOW)
    cancelled = poll(client, address)
    tags.append(cancelled["ETag"])
    assert b"STATUS:CANCELLED" in cancelled.content
    workdays.withdraw(sign_up=sign_up_row, actor=member.account, now=NOW)
    tags.append(poll(client, address)["ETag"])
    assert len(set(tags)) == len(tags)


def test_a_cancelled_day_leaves_the_calendar_once_it_has_passed(client, stand, member, organizer):
    day = factories.make_day(stand, title="Outer edge")
    sign_up(day, member)
    workdays.cancel_day(day=day, reason="High water", actor=organizer, now=NOW)
    address = own_address(member.account)
    assert b"Outer edge" in poll(client, address).content
    assert b"Outer edge" not in poll(client, address, now=day.ends_at).content


def test_a_new_address_ends_the_old_one_and_an_ended_one_is_absent(client, member):
    old = own_address(member.account)
    new = own_address(member.account)
    assert (poll(client, old).status_code, poll(client, new).status_code) == (404, 200)
    feeds.revoke_address(account=member.account)
    assert poll(client, new).status_code == 404
    assert client.post(new).status_code == 405


def test_a_guess_finds_nothing(client, member):
    token = feeds.make_address(account=member.account, now=NOW)
    assert len(token) >= 32  # 192 bits in base64
    assert poll(client, f"/feed/{token[:-1]}.ics").status_code == 404
    assert poll(client, f"/feed/{token.swapcase()}.ics").status_code == 404


def test_the_address_is_shown_once_and_kept_as_a_digest(client, member):
    client.force_login(member.account)
    page = client.post("/me/mail/address/", follow=True).content.decode()
    assert "/feed/" in page
    assert "/feed/" not in client.get("/me/mail/").content.decode()


def test_a_group_s_calendar_is_there_while_an_organizer_keeps_it_open(client, group, stand, organizer, member):
    factories.make_day(stand, title="Outer edge")
    client.force_login(member.account)
    assert "no public calendar" in client.get(f"/g/{group.slug}/calendar/").content.decode()
    assert client.post(f"/g/{group.slug}/calendar/keep/", {"open": "yes"}).status_code == 403
    client.force_login(organizer)
    client.post(f"/g/{group.slug}/calendar/keep/", {"open": "yes"})
    address = f"/calendar/{group.feed.code}.ics"
    client.logout()
    response = poll(client, address)
    assert [event.summary for event in by_ical(response.content)] == ["Outer edge"]
    assert response["Cache-Control"] == "public, max-age=900"
    assert poll(client, address, **{"If-None-Match": response["ETag"]}).status_code == 304
    client.force_login(organizer)
    client.post(f"/g/{group.slug}/calendar/keep/", {"open": "no"})
    assert poll(client, address).status_code == 404


def test_a_group_s_calendar_knows_no_other_group(client, group, stand, organizer):
    factories.make_day(stand, title="Outer edge")
    other = factories.make_group()
    feed = feeds.open_group_feed(group=other, actor=organizer, now=NOW)
    assert by_icalendar(poll(client, f"/calendar/{feed.code}.ics").content) == []


@pytest.mark.parametrize("address", ["/feed/abc-DEF_123.ics", "/answers/abc:DEF/", "/unsubscribe/abc:DEF:123/"])
def test_no_secret_of_an_address_reaches_a_log(address):
    record = logging.LogRecord("django.request", logging.WARNING, "", 0, "Not Found: %s", (address,), None)
    assert "abc" not in PlainLines().format(record)


def test_old_days_leave_the_calendar(client, stand, member):
    day = factories.make_day(stand, title="Outer edge")
    sign_up(day, member)
    address = own_address(member.account)
    assert b"Outer edge" in poll(client, address, now=day.ends_at + datetime.timedelta(days=89)).content
    assert b"Outer edge" not in poll(client, address, now=day.ends_at + datetime.timedelta(days=91)).content


def test_a_days_file_holds_the_readers_entries_with_the_identity_of_the_invitation(client, group, stand, member):
    day, other_day = factories.make_day(stand, title="Outer edge"), factories.make_day(stand, title="Inner edge")
    child = factories.make_child(member, name="Tom Marsh")
    mine = sign_up(day, member)
    workdays.sign_up(day=day, member=child, place="land", actor=member.account, now=NOW)
    sign_up(other_day, member)
    sign_up(day, factories.make_member(group, name="Zoe Other"))
    client.force_login(member.account)
    answer = poll(client, f"/d/{day.share_code}/day.ics")
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert byte_faults(answer.content) == []
    events = by_icalendar(answer.content)
    assert len(events) == 2
    assert CalendarEntry.objects.get(sign_up=mine).uid.encode() in answer.content
    client.force_login(factories.make_member(group).account)
    assert poll(client, f"/d/{day.share_code}/day.ics").status_code == 404
