"""From a sign-up to a mail that a real server received; numbers are the test cases of the invites' own checklist:

RFC 5545 (objects), RFC 5546 (who tells whom what), RFC 6047 (as mail).
"""

import datetime
from email import message_from_bytes, policy

import pytest
from django.db import transaction

from reedcrew.invites import outbox, services
from reedcrew.invites.addresses import is_marked
from reedcrew.invites.drafts import bytes_of
from reedcrew.invites.errors import MailNotRefused
from reedcrew.invites.models import CalendarEntry, OutgoingMail
from reedcrew.people.roles import Role
from reedcrew.stands.services import change_site
from reedcrew.workdays import services as workdays
from reedcrew.workdays import waiting_list
from reedcrew.workdays.forms import values_of
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import END, NOW, START
from tests.invites.byte_checks import byte_faults
from tests.invites.itip_checks import itip_faults
from tests.invites.readings import by_ical, by_icalendar

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)
HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def group():
    return factories.make_group(name="Heron Bay reed group")


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER).account


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand, water_places=2, land_places=2)


def sign_up(day, member, place="water", *, now=NOW) -> SignUp:
    return workdays.sign_up(day=day, member=member, place=place, actor=member.mail_account, now=now).sign_up


def edit(day, organizer, *, now=NOW, **changes):
    day.refresh_from_db()
    facts = workdays.DayFacts(**{**values_of(day), **changes})
    return workdays.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=now)


def calendar_of(mail: OutgoingMail | bytes) -> bytes:
    raw = mail if isinstance(mail, bytes) else bytes_of(mail)
    message = message_from_bytes(raw, policy=policy.default)
    (part,) = [part for part in message.walk() if part.get_content_type() == "text/calendar"]
    calendar = part.get_payload(decode=True)
    assert isinstance(calendar, bytes)
    return calendar


def told(day) -> list[str]:
    return [mail.kind for mail in OutgoingMail.objects.filter(sign_up__day=day).order_by("pk")]


def last_mail() -> OutgoingMail:
    return OutgoingMail.objects.latest("pk")


def test_a_sign_up_is_told_by_a_request_that_a_real_server_receives(day, group, smtp_server):
    """2, 3, 4, 5: MIME, values read by two libraries, the table of RFC 5546 section 3.2.2, and nobody else named."""
    other = factories.make_member(group, name="Quill Somebody")
    sign_up(day, other)
    member = factories.make_member(group, name="Ada Marsh")
    entry = sign_up(day, member).calendar_entry
    for key in outbox.due_mails(NOW):
        outbox.deliver(mail_pk=key, now=NOW)
    received = {mail.recipients: mail for mail in smtp_server.received}
    mail = received[(member.account.email,)]
    assert mail.sender.startswith("bounce+")
    message = message_from_bytes(mail.raw, policy=policy.default)
    assert [part.get_content_type() for part in message.iter_parts()] == ["text/plain", "text/html", "text/calendar"]
    assert message["To"].addresses[0].addr_spec == member.account.email
    assert message["From"].addresses[0].display_name == "Heron Bay reed group"
    assert other.account.email.encode() not in mail.raw
    calendar = calendar_of(mail.raw)
    assert other.name.encode() not in calendar
    assert byte_faults(calendar) == []
    assert itip_faults(calendar, "REQUEST") == []
    for reading in [*by_icalendar(calendar), *by_ical(calendar)]:
        assert (reading.uid, reading.sequence) == (entry.uid, 0)
        assert (reading.start, reading.end) == (START, END)


def test_who_signs_up_has_accepted_and_who_is_added_is_asked(day, group, organizer):
    own = sign_up(day, factories.make_member(group))
    added = workdays.sign_up(
        day=day, member=factories.make_member(group), place="water", actor=organizer, now=NOW
    ).sign_up
    assert (own.calendar_entry.partstat, added.calendar_entry.partstat) == ("ACCEPTED", "NEEDS-ACTION")


def test_a_child_is_told_at_the_guardians_address(day, group):
    guardian = factories.make_member(group)
    child = factories.make_child(guardian)
    sign_up(day, guardian, "land")
    entry = sign_up(day, child, "land").calendar_entry
    assert entry.address == guardian.account.email


def test_somebody_without_an_address_is_told_nothing(day, group, organizer):
    nobody = factories.make_member(group, account=None)
    workdays.sign_up(day=day, member=nobody, place="land", actor=organizer, now=NOW)
    assert told(day) == []


def test_a_moved_start_raises_the_sequence_and_asks_again(day, group, organizer):
    """12: SEQUENCE +1, DTSTAMP greater, same UID and ORGANIZER, PARTSTAT=NEEDS-ACTION, place kept."""
    signed_up = sign_up(day, factories.make_member(group))
    before = calendar_of(last_mail())
    edit(day, organizer, starts_at=START + HOUR)
    entry = CalendarEntry.objects.get()
    assert (entry.sequence, entry.partstat, entry.last_dtstamp) == (
        1,
        "NEEDS-ACTION",
        NOW + datetime.timedelta(seconds=1),
    )
    after = calendar_of(last_mail())
    assert _line(after, b"UID") == _line(before, b"UID")
    assert _line(after, b"ORGANIZER") == _line(before, b"ORGANIZER")
    signed_up.refresh_from_db()
    assert signed_up.state == "confirmed"


def _line(calendar: bytes, name: bytes) -> bytes:
    (line,) = [line for line in calendar.replace(b"\r\n ", b"").splitlines() if line.startswith(name)]
    return line


def test_a_moved_meeting_place_raises_the_sequence_and_keeps_the_answer(day, group, organizer):
    """RFC 5546 section 2.1.4: a new place may endanger the answer, so SEQUENCE rises."""
    sign_up(day, factories.make_member(group))
    site = day.stand.site
    change_site(site=site, version=site.version, actor=organizer, now=NOW, meeting_place="The old mill")
    entry = CalendarEntry.objects.get()
    assert (entry.sequence, entry.partstat) == (1, "ACCEPTED")
    assert b"The old mill" in calendar_of(last_mail()).replace(b"\r\n ", b"")


def test_a_new_text_keeps_the_sequence_and_the_answer(day, group, organizer):
    """13 and 14: SEQUENCE same, DTSTAMP rises even within one second, PARTSTAT as stored."""
    sign_up(day, factories.make_member(group))
    edit(day, organizer, note="Bring boots")
    edit(day, organizer, note="Bring boots and a hat")
    entry = CalendarEntry.objects.get()
    assert (entry.sequence, entry.partstat) == (0, "ACCEPTED")
    assert entry.last_dtstamp == NOW + datetime.timedelta(seconds=2)
    assert told(day) == ["invite", "change", "change"]


def test_an_edit_that_shows_in_no_calendar_sends_nothing(day, group, organizer):
    sign_up(day, factories.make_member(group))
    edit(day, organizer, land_places=5)
    assert told(day) == ["invite"]


def test_a_renamed_group_keeps_its_name_in_messages_of_old_entries(day, group, organizer):
    sign_up(day, factories.make_member(group))
    before = calendar_of(last_mail())
    type(group).objects.filter(pk=group.pk).update(name="Another name")
    edit(day, organizer, title="Another title")
    assert _line(calendar_of(last_mail()), b"ORGANIZER") == _line(before, b"ORGANIZER")


def test_the_waiting_list_is_tentative_until_a_place_is_free(day, group):
    first, _second, third = (sign_up(day, factories.make_member(group)) for _i in range(3))
    waiting = calendar_of(third.mails.get())
    assert b"STATUS:TENTATIVE" in waiting
    assert b"TRANSP:TRANSPARENT" in waiting
    workdays.withdraw(sign_up=first, actor=first.member.account, now=NOW)
    offered = calendar_of(third.mails.latest("pk"))
    assert b"STATUS:TENTATIVE" in offered
    assert b"TRANSP:OPAQUE" in offered
    assert b"PARTSTAT=NEEDS-ACTION" in offered
    waiting_list.take_place(sign_up=third, actor=third.member.account, now=NOW)
    placed = calendar_of(third.mails.latest("pk"))
    assert b"STATUS:CONFIRMED" in placed
    entry = CalendarEntry.objects.get(sign_up=third)
    assert (entry.sequence, entry.partstat) == (2, "ACCEPTED")


def test_an_offer_that_lapses_is_told_once_and_the_calendar_shows_the_waiting_list_again(day, group):
    first, _second, third = (sign_up(day, factories.make_member(group)) for _i in range(3))
    workdays.withdraw(sign_up=first, actor=first.member.account, now=NOW)
    third.refresh_from_db()
    for _i in range(2):
        waiting_list.pass_over(day_pk=day.pk, now=third.offer_until)
    assert told(day)[-2:] == [OutgoingMail.Kind.OFFER, OutgoingMail.Kind.CHANGE]
    assert b"TRANSP:TRANSPARENT" in calendar_of(third.mails.latest("pk"))


def test_a_withdrawal_cancels_one_entry_and_nobody_else_hears(day, group):
    """16: CANCEL, STATUS:CANCELLED, SEQUENCE +1, no VALARM; others get no mail."""
    gone, _stays = (sign_up(day, factories.make_member(group)) for _i in range(2))
    before = OutgoingMail.objects.count()
    workdays.withdraw(sign_up=gone, actor=gone.member.account, now=NOW)
    (mail,) = OutgoingMail.objects.order_by("pk")[before:]
    calendar = calendar_of(mail)
    assert mail.sign_up == gone
    assert itip_faults(calendar, "CANCEL") == []
    assert b"METHOD:CANCEL" in calendar
    assert b"SEQUENCE:1" in calendar


def test_signing_up_again_makes_a_new_entry(day, group):
    """18: a new UID, SEQUENCE 0."""
    member = factories.make_member(group)
    first = sign_up(day, member)
    workdays.withdraw(sign_up=first, actor=member.account, now=NOW)
    again = sign_up(day, member)
    assert again.calendar_entry.uid != first.calendar_entry.uid
    assert again.calendar_entry.sequence == 0


def test_a_cancelled_day_is_told_to_everyone_who_has_it_once(day, group, organizer):
    """17: one CANCEL for each UID that stands; who withdrew has had theirs."""
    people = [sign_up(day, factories.make_member(group), place) for place in ("water", "water", "water", "land")]
    workdays.withdraw(sign_up=people[3], actor=people[3].member.account, now=NOW)
    sent = OutgoingMail.objects.count()
    workdays.cancel_day(day=day, reason="Thunder", actor=organizer, now=NOW)
    mails = list(OutgoingMail.objects.order_by("pk")[sent:])
    assert {mail.sign_up_id for mail in mails} == {each.pk for each in people[:3]}
    assert all(b"COMMENT:Thunder" in calendar_of(mail) for mail in mails)
    assert services.tell_day_cancelled(day=day, now=NOW) == []


def test_nobody_is_told_of_a_day_that_is_over(day, group, organizer):
    sign_up(day, factories.make_member(group))
    sent = OutgoingMail.objects.count()
    assert services.tell_day_changed(day=day, now=END) == []
    assert services.tell_day_cancelled(day=day, now=END) == []
    assert OutgoingMail.objects.count() == sent


def test_a_change_that_is_rolled_back_leaves_no_mail_and_wakes_nobody(
    day, group, woken, django_capture_on_commit_callbacks
):
    member = factories.make_member(group)
    with django_capture_on_commit_callbacks(execute=True) as callbacks, transaction.atomic():
        sign_up(day, member)
        transaction.set_rollback(True)
    assert (OutgoingMail.objects.count(), callbacks, woken()) == (0, [], [])
    with django_capture_on_commit_callbacks(execute=True):
        sign_up(day, member)
    assert ("invites.send_due", ()) in woken()


# --- The outbox ------------------------------------------------------------------------------------------------------


@pytest.fixture
def mail(day, group) -> OutgoingMail:
    sign_up(day, factories.make_member(group))
    return OutgoingMail.objects.get()


def test_a_retry_sends_the_same_bytes(mail, smtp_server):
    """15: a lost answer of the server repeats the mail with its Message-ID, byte for byte."""
    outbox.deliver(mail_pk=mail.pk, now=NOW)
    OutgoingMail.objects.update(state=OutgoingMail.State.WAITING)  # as if the crash came before the mark
    assert outbox.deliver(mail_pk=mail.pk, now=NOW + MINUTE) is None  # still claimed: the other may be sending
    outbox.deliver(mail_pk=mail.pk, now=NOW + outbox.CLAIM)
    first, second = smtp_server.received
    assert first.raw == second.raw


def test_a_sent_mail_is_not_sent_again(mail, smtp_server):
    assert outbox.deliver(mail_pk=mail.pk, now=NOW).state == "sent"
    assert outbox.deliver(mail_pk=mail.pk, now=NOW + 24 * HOUR) is None
    assert len(smtp_server.received) == 1


def test_a_temporary_refusal_is_tried_again_after_growing_waits(mail, smtp_server):
    moment, waits = NOW, []
    smtp_server.refusals.extend(["451 4.3.0 Try later"] * 3)
    for _try in range(3):
        outbox.deliver(mail_pk=mail.pk, now=moment)
        mail.refresh_from_db()
        assert mail.state == "waiting"
        waits.append(mail.next_try_at - moment)
        assert outbox.deliver(mail_pk=mail.pk, now=mail.next_try_at - MINUTE / 2) is None
        moment = mail.next_try_at
    assert waits == sorted(waits)
    assert waits[0] < waits[-1]
    assert "451" in mail.last_error
    assert outbox.deliver(mail_pk=mail.pk, now=moment).state == "sent"


def test_a_permanent_refusal_is_kept_and_can_be_sent_again(mail, smtp_server, organizer):
    smtp_server.refusals.append("550 5.1.1 No such mailbox")
    assert outbox.deliver(mail_pk=mail.pk, now=NOW).state == "refused"
    assert outbox.due_mails(NOW + 24 * HOUR) == []
    outbox.send_again(mail=mail, actor=organizer, now=NOW + HOUR)
    with pytest.raises(MailNotRefused):
        outbox.send_again(mail=mail, actor=organizer, now=NOW + HOUR)
    assert outbox.deliver(mail_pk=mail.pk, now=NOW + HOUR).state == "sent"


def test_a_server_that_does_not_answer_loses_nothing(mail, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9  # nobody listens at the discard port
    assert outbox.deliver(mail_pk=mail.pk, now=NOW).state == "waiting"
    assert mail.pk in outbox.due_mails(NOW + HOUR)


def test_many_mails_go_over_one_connection_and_a_refused_one_holds_up_nobody(day, group, smtp_server):
    people = [factories.make_member(group) for _i in range(4)]
    for member in people:
        sign_up(day, member, "land")
    smtp_server.refusals.append("550 5.1.1 No such mailbox")
    with outbox.Line() as line:
        states = [outbox.deliver(mail_pk=pk, now=NOW, line=line).state for pk in outbox.due_mails(NOW)]
    assert states == ["refused", "sent", "sent", "sent"]
    assert smtp_server.connections == 1
    assert is_marked(people[0].account.email)


def test_a_line_that_breaks_is_opened_again(day, group, smtp_server):
    for _i in range(3):
        sign_up(day, factories.make_member(group), "land")
    smtp_server.hang_ups.append(1)
    with outbox.Line() as line:
        states = [outbox.deliver(mail_pk=pk, now=NOW, line=line).state for pk in outbox.due_mails(NOW)]
    assert states == ["waiting", "sent", "sent"]
    assert smtp_server.connections == 2


def test_one_domain_gets_so_many_mails_a_minute_and_another_does_not_wait(day, group, settings, smtp_server):
    settings.MAIL_DOMAIN_A_MINUTE = 2
    addresses = ["a@slow.example", "b@slow.example", "c@slow.example", "d@other.example"]
    for address in addresses:
        sign_up(day, factories.make_member(group, account=factories.make_account(address)), "land")
    due = outbox.due_mails(NOW)
    assert [OutgoingMail.objects.get(pk=pk).to_address for pk in due] == [*addresses[:2], addresses[3]]
    for pk in due:
        outbox.deliver(mail_pk=pk, now=NOW)
    assert outbox.due_mails(NOW + MINUTE / 2) == []
    assert len(outbox.due_mails(NOW + MINUTE)) == 1


def test_a_changed_address_takes_the_days_to_come_along_under_a_new_uid(day, group):
    """19: CANCEL to the old address, REQUEST with a new UID to the new one; the place stays, an old answer is lost."""
    member = factories.make_member(group)
    kept = sign_up(day, member)
    old = CalendarEntry.objects.get(sign_up=kept)
    account = member.account
    before, account.email = account.email, "moved@example.org"
    account.save()
    for _i in range(2):
        services.follow_address(account=account, now=NOW + MINUTE)
    cancel, request = kept.mails.order_by("pk")[1:]
    assert (cancel.to_address, request.to_address) == (before, "moved@example.org")
    assert f"UID:{old.uid}".encode() in calendar_of(cancel).replace(b"\r\n ", b"")
    assert itip_faults(calendar_of(cancel), "CANCEL") == []
    assert itip_faults(calendar_of(request), "REQUEST") == []
    new = CalendarEntry.objects.get(sign_up=kept)
    assert (new.uid != old.uid, new.sequence, new.cancelled_at) == (True, 0, None)
    kept.refresh_from_db()
    assert kept.state == "confirmed"
