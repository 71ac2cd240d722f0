"""From a mail's bytes to the sign-up: numbers are test cases of the invites' own checklist (RFC 5546, RFC 6047)."""

import datetime
import email
import re
from email import policy

import pytest
import time_machine

from reedcrew.invites import addresses, incoming
from reedcrew.invites.calendar.events import PartStat
from reedcrew.invites.drafts import bytes_of
from reedcrew.invites.models import CalendarEntry, IncomingMail, OutgoingMail
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from reedcrew.workdays.forms import values_of
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import NOW
from tests.invites.mails import calendar_mail, delivery_report, plain_mail, reply_calendar
from tests.invites.readings import by_icalendar
from tests.invites.test_services import calendar_of

pytestmark = pytest.mark.django_db

LATER = NOW + datetime.timedelta(hours=20)  # 04:00 at the site, in the quiet hours
MINUTE = datetime.timedelta(minutes=1)
Outcome = IncomingMail.Outcome


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER).account


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand, water_places=1, land_places=2)


@pytest.fixture
def ada(group, day):
    return sign_up(day, factories.make_member(group, name="Ada Marsh"))


@pytest.fixture
def bea(group, day, ada):
    """Waits for Ada's place."""
    return sign_up(day, factories.make_member(group, name="Bea Fen"))


def sign_up(day, member) -> SignUp:
    return workdays.sign_up(day=day, member=member, place="water", actor=member.account, now=NOW).sign_up


def entry_of(sign_up: SignUp) -> CalendarEntry:
    return CalendarEntry.objects.get(sign_up=sign_up)


def answer(sign_up: SignUp, *, sender: str | None = None, headers=(), message_id="<answer-1@mail.example>", **changes):
    """The mail of a calendar that answers the invitation of a sign-up."""
    entry = entry_of(sign_up)
    calendar = reply_calendar(**{"uid": entry.uid, "attendee": entry.address, "sequence": entry.sequence, **changes})
    return calendar_mail(calendar, sender=sender or entry.address, headers=headers, message_id=message_id)


def take_in(raw: bytes, now=LATER, envelope_to: str = "") -> IncomingMail:
    return incoming.take_in(raw=raw, envelope_to=envelope_to, now=now)


def state(sign_up: SignUp) -> str:
    sign_up.refresh_from_db()
    return sign_up.state


def link_in(mail: OutgoingMail) -> str:
    message = email.message_from_bytes(bytes_of(mail), policy=policy.default)
    found = re.search(r"https?://\S+/answers/\S+", message.get_body(("plain",)).get_content())
    assert found is not None
    return re.sub(r"^https?://[^/]+", "", found.group(0))


def mails_to(sign_up: SignUp, kind: str) -> list[OutgoingMail]:
    return list(OutgoingMail.objects.filter(sign_up=sign_up, kind=kind).order_by("pk"))


def edit_start(day, organizer, **by) -> None:
    day.refresh_from_db()
    facts = workdays.DayFacts(**{**values_of(day), "starts_at": day.starts_at + datetime.timedelta(**by)})
    workdays.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=NOW + MINUTE)


def test_a_decline_frees_the_place_and_the_next_is_asked(ada, bea):
    """21: the first on the waiting list gets a REQUEST; the mail waits for the morning."""
    assert take_in(answer(ada, organizer=None)).outcome == Outcome.APPLIED
    assert (state(ada), state(bea)) == ("withdrawn", "offered")
    assert entry_of(ada).partstat == PartStat.DECLINED
    (offer,) = mails_to(bea, OutgoingMail.Kind.OFFER)
    (read,) = by_icalendar(calendar_of(offer))
    assert (read.sequence, entry_of(bea).partstat) == (1, "NEEDS-ACTION")
    assert offer.next_try_at == datetime.datetime(2026, 8, 11, 11, 0, tzinfo=datetime.UTC)  # 07:00 at the site


def test_who_is_asked_takes_the_place_by_accepting_in_the_calendar(ada, bea):
    take_in(answer(ada))
    assert take_in(answer(bea, partstat="ACCEPTED", dtstamp="20260811T080010Z")).outcome == Outcome.APPLIED
    assert state(bea) == "confirmed"
    assert entry_of(bea).partstat == PartStat.ACCEPTED


def test_who_is_asked_and_declines_lets_the_place_go(group, day, ada, bea):
    cal = sign_up(day, factories.make_member(group))
    take_in(answer(ada))
    take_in(answer(bea))
    assert (state(bea), state(cal)) == ("withdrawn", "offered")


def test_a_maybe_keeps_the_place(ada):
    """22."""
    take_in(answer(ada, partstat="TENTATIVE"))
    assert (state(ada), entry_of(ada).partstat) == ("confirmed", "TENTATIVE")


def test_the_same_mail_twice_is_one(ada, bea):
    """23."""
    raw = answer(ada)
    assert take_in(raw).pk == take_in(raw).pk
    assert IncomingMail.objects.count() == 1
    assert len(mails_to(bea, OutgoingMail.Kind.OFFER)) == 1


def test_a_decline_that_is_overtaken_changes_nothing(ada):
    """24."""
    take_in(answer(ada, partstat="ACCEPTED", dtstamp="20260811T075900Z"))
    assert take_in(answer(ada, dtstamp="20260811T075800Z")).outcome == Outcome.IGNORED
    assert state(ada) == "confirmed"


def test_a_decline_of_an_earlier_date_is_held_until_it_is_confirmed(ada, day, organizer, client):
    """25."""
    old = answer(ada)
    edit_start(day, organizer, hours=1)
    row = take_in(old)
    assert (row.outcome, state(ada)) == (Outcome.HELD, "confirmed")
    (question,) = mails_to(ada, OutgoingMail.Kind.ANSWER)
    with time_machine.travel(LATER, tick=False):
        page = client.get(link_in(question))
        assert "Do you give up your place?" in page.content.decode()
        assert state(ada) == "confirmed"
        client.post(link_in(question), {"answer": "no"})
    assert state(ada) == "withdrawn"


def test_a_raised_sequence_of_a_reply_is_surpassed_by_the_next_update(ada, day, organizer):
    """26."""
    take_in(answer(ada, partstat="ACCEPTED", sequence=3))
    edit_start(day, organizer, hours=1)
    assert entry_of(ada).sequence == 4


def test_an_absurd_sequence_is_not_followed(ada, day, organizer):
    take_in(answer(ada, partstat="ACCEPTED", sequence=9999))
    edit_start(day, organizer, hours=1)
    assert entry_of(ada).sequence == 1


def test_a_wrong_clock_does_not_block_later_answers(ada):
    """27."""
    take_in(answer(ada, partstat="ACCEPTED", dtstamp="20990101T000000Z"))
    take_in(answer(ada, dtstamp="20260811T090000Z"), now=LATER + datetime.timedelta(hours=1))
    assert state(ada) == "withdrawn"


def test_an_unknown_invitation_changes_nothing_and_nobody_is_mailed(ada):
    """28."""
    before = OutgoingMail.objects.count()
    row = take_in(answer(ada, uid="00000000-0000-4000-8000-000000000000@reedcrew.example"))
    assert (row.outcome, state(ada)) == (Outcome.IGNORED, "confirmed")
    assert OutgoingMail.objects.count() == before


def test_a_forwarded_invitation_moves_nobody(ada):
    """29."""
    row = take_in(answer(ada, attendee="friend@example.org", sender="friend@example.org"))
    assert (row.outcome, state(ada)) == (Outcome.NOTED, "confirmed")


def test_a_decline_from_another_address_is_held_and_asked_about_once_an_hour(ada, client):
    """30."""
    for minutes, message_id in ((0, "<a@mail.example>"), (30, "<b@mail.example>"), (90, "<c@mail.example>")):
        raw = answer(
            ada, sender="somebody@example.org", message_id=message_id, dtstamp=f"20260811T08{minutes % 60:02}00Z"
        )
        assert take_in(raw, now=LATER + minutes * MINUTE).outcome == Outcome.HELD
    assert state(ada) == "confirmed"
    questions = mails_to(ada, OutgoingMail.Kind.ANSWER)
    assert len(questions) == 2
    assert {question.to_address for question in questions} == {ada.member.account.email}


def test_an_unvouched_decline_can_be_taken_back_by_the_mail_s_link(ada, client):
    take_in(answer(ada))
    (withdrawn,) = mails_to(ada, OutgoingMail.Kind.CANCEL)
    with time_machine.travel(LATER, tick=False):
        assert client.get(link_in(withdrawn)).status_code == 200
        assert not SignUp.objects.active().filter(member=ada.member).exists()
        for _ in range(2):
            client.post(link_in(withdrawn), {"answer": "yes"})
    assert SignUp.objects.active().filter(member=ada.member).count() == 1


def test_a_vouched_decline_needs_no_link_back(ada, settings):
    settings.MAIL_AUTHSERV_IDS = ["mx.reedcrew.example"]
    headers = [("Authentication-Results", "mx.reedcrew.example; dmarc=pass header.from=example.org")]
    take_in(answer(ada, headers=headers))
    (withdrawn,) = mails_to(ada, OutgoingMail.Kind.CANCEL)
    assert state(ada) == "withdrawn"
    with pytest.raises(AssertionError):
        link_in(withdrawn)


@pytest.mark.parametrize("method", ["REQUEST", "CANCEL", "PUBLISH"])
def test_what_only_organizers_may_ask_is_kept_and_changes_nothing(ada, method):
    """32."""
    row = take_in(answer(ada, method=method))
    assert (row.outcome, state(ada)) == (Outcome.KEPT, "confirmed")


def test_a_proposal_is_noted_with_its_words(ada):
    row = take_in(answer(ada, method="COUNTER", more=["COMMENT:An hour later?"]))
    assert (row.outcome, row.words) == (Outcome.NOTED, "An hour later?")


def test_a_question_for_the_invitation_is_answered_once_an_hour(ada):
    for minutes in (0, 30, 90):
        raw = answer(ada, method="REFRESH", message_id=f"<refresh-{minutes}@mail.example>")
        take_in(raw, now=LATER + minutes * MINUTE)
    assert len(mails_to(ada, OutgoingMail.Kind.INVITE)) == 3  # the first, and two again


def test_an_answer_after_the_withdrawal_gets_one_word(ada):
    raw = answer(ada, partstat="ACCEPTED")
    workdays.withdraw(sign_up=ada, actor=ada.member.account, now=NOW + MINUTE)
    assert take_in(raw).outcome == Outcome.TOLD
    assert len(mails_to(ada, OutgoingMail.Kind.ANSWER)) == 1


def test_a_late_reply_to_a_withdrawn_sign_up_does_not_touch_the_new_one(ada, day):
    """18."""
    old = answer(ada)
    workdays.withdraw(sign_up=ada, actor=ada.member.account, now=NOW + MINUTE)
    again = sign_up(day, ada.member)
    assert take_in(old).outcome == Outcome.IGNORED
    assert state(again) == "confirmed"
    assert entry_of(again).uid != entry_of(ada).uid


def test_a_reply_to_a_cancelled_day_changes_nothing(ada, day, organizer):
    old = answer(ada)
    workdays.cancel_day(day=day, reason="High water", actor=organizer, now=NOW + MINUTE)
    assert take_in(old).outcome == Outcome.IGNORED


def test_a_wrong_address_is_marked_at_once_and_cleared_by_an_organizer(ada, group, organizer, client):
    """36."""
    (invite,) = mails_to(ada, OutgoingMail.Kind.INVITE)
    row = take_in(delivery_report(status="5.1.1", recipient=ada.member.account.email), envelope_to=invite.envelope_from)
    assert (row.outcome, row.group) == (Outcome.MARKED, group)
    assert addresses.is_marked(ada.member.account.email.upper())
    client.force_login(organizer)
    page = client.get(f"/g/{group.slug}/inbox/")
    assert "The address works again" in page.content.decode()
    client.post(f"/g/{group.slug}/inbox/{row.pk}/address/")
    assert not addresses.is_marked(ada.member.account.email)


def test_a_report_without_our_envelope_is_tied_by_the_mail_that_came_back(ada):
    (invite,) = mails_to(ada, OutgoingMail.Kind.INVITE)
    report = delivery_report(status="5.1.1", recipient="elsewhere@example.org", returned_id=invite.message_id)
    take_in(report)
    assert addresses.is_marked(ada.member.account.email)


def test_other_lasting_refusals_mark_an_address_when_they_come_twice_in_a_week(ada):
    (invite,) = mails_to(ada, OutgoingMail.Kind.INVITE)
    for days, marked in ((0, False), (8, False), (12, True)):
        now = LATER + datetime.timedelta(days=days)
        report = delivery_report(status="5.7.1", recipient="a@example.org").replace(b"report-1", f"r{days}".encode())
        take_in(report, now=now, envelope_to=invite.envelope_from)
        assert addresses.is_marked(invite.to_address) is marked


def test_a_delay_marks_nothing_and_a_stranger_s_report_neither(ada):
    (invite,) = mails_to(ada, OutgoingMail.Kind.INVITE)
    take_in(
        delivery_report(status="4.2.2", recipient="a@example.org", action="delayed"), envelope_to=invite.envelope_from
    )
    take_in(delivery_report(status="5.1.1", recipient=invite.to_address))
    assert not addresses.is_marked(invite.to_address)


def test_a_message_is_passed_on_to_the_group_and_changes_nothing(ada, group):
    """37."""
    row = take_in(plain_mail("Is there parking?\nAda", sender=ada.member.account.email))
    (mail,) = OutgoingMail.objects.filter(kind=OutgoingMail.Kind.PASSED_ON)
    assert (row.outcome, mail.to_address, state(ada)) == (Outcome.PASSED_ON, group.contact_email, "confirmed")


def test_an_absence_note_is_answered_by_nobody(ada):
    """35."""
    before = OutgoingMail.objects.count()
    note = plain_mail(
        "Away until Monday", sender=ada.member.account.email, headers=[("Auto-Submitted", "auto-replied")]
    )
    assert take_in(note).outcome == Outcome.IGNORED
    assert OutgoingMail.objects.count() == before


@pytest.mark.parametrize("raw", [b"", b"\x00" * 50, b"Subject: x\r\n\r\n", b"X" * (2 * 1024 * 1024 + 5)])
def test_any_mail_is_kept(raw, ada):
    """33."""
    assert take_in(raw).pk is not None


def test_a_message_of_another_group_is_not_shown(ada, group, client):
    other = factories.make_group()
    member = factories.make_member(other, role=Role.ORGANIZER)
    row = take_in(answer(ada, attendee="friend@example.org"))
    client.force_login(member.account)
    assert "Ada Marsh" not in client.get(f"/g/{other.slug}/inbox/").content.decode()
    assert client.post(f"/g/{other.slug}/inbox/{row.pk}/seen/").status_code == 404
    assert client.get(f"/g/{group.slug}/inbox/").status_code == 404


def test_what_asks_for_eyes_is_marked_as_looked_at(ada, group, organizer, client):
    row = take_in(answer(ada, attendee="friend@example.org"))
    client.force_login(organizer)
    assert "please look" in client.get(f"/g/{group.slug}/inbox/").content.decode()
    client.post(f"/g/{group.slug}/inbox/{row.pk}/seen/")
    assert "please look" not in client.get(f"/g/{group.slug}/inbox/").content.decode()


def test_a_forged_or_stale_link_leads_nowhere(ada, client):
    with time_machine.travel(LATER, tick=False):
        take_in(answer(ada))
        (withdrawn,) = mails_to(ada, OutgoingMail.Kind.CANCEL)
        link = link_in(withdrawn)
        assert client.get(link).status_code == 200
        assert client.get("/answers/forged/").status_code == 404
        assert client.get(link[:-3] + "aa/").status_code == 404
    with time_machine.travel(LATER + datetime.timedelta(days=61), tick=False):
        assert client.get(link).status_code == 404
