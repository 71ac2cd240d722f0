"""What a breaker sends, and what goes wrong around the mailbox: nothing is dropped, nothing answers itself for ever.

RFC 3834 (automatic answers), RFC 2045 and 2046 (parts and charsets), RFC 3501 (IMAP).
"""

import datetime
import threading
from email.message import EmailMessage
from email.policy import SMTP

import pytest
from django.core.cache import cache
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from reedcrew.invites import incoming, mailings, poller, services
from reedcrew.invites.models import CalendarEntry, IncomingMail, MailChoice, Mailing, OutgoingMail
from reedcrew.invites.queries import words_of
from reedcrew.invites.replies.html_words import words_of_html
from reedcrew.invites.replies.mails import read_mail
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import END, NOW
from tests.invites.mails import ORGANIZER, calendar_mail, delivery_report, plain_mail, reply_calendar
from tests.invites.test_poller import SERVICE
from tests.services import wait_until

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)
Kind, Outcome = OutgoingMail.Kind, IncomingMail.Outcome


@pytest.fixture
def group():
    return factories.make_group(contact_email="crew@reed.example")


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand, water_places=1, land_places=2)


def sign_up(day, member, place="water", now=NOW) -> SignUp:
    return workdays.sign_up(day=day, member=member, place=place, actor=member.mail_account, now=now).sign_up


@pytest.fixture
def ada(group, day):
    return sign_up(day, factories.make_member(group, name="Ada Marsh"))


@pytest.fixture
def bea(group, day, ada):
    """Waits for Ada's place."""
    return sign_up(day, factories.make_member(group, name="Bea Fen"))


def answer(sign_up, *, headers=(), number=1, **changes) -> bytes:
    entry = CalendarEntry.objects.get(sign_up=sign_up)
    stamp = f"20260811T08{number:02}00Z"
    values = {"uid": entry.uid, "attendee": entry.address, "sequence": entry.sequence, "dtstamp": stamp, **changes}
    return calendar_mail(
        reply_calendar(**values), sender=entry.address, headers=headers, message_id=f"<{number}@mail.example>"
    )


def take_in(raw: bytes, now=NOW + MINUTE) -> IncomingMail:
    return incoming.take_in(raw=raw, now=now)


def html_mail(html: str, charset: str = "utf-8") -> bytes:
    mail = EmailMessage()
    mail["From"], mail["To"], mail["Message-ID"] = "a@example.org", ORGANIZER, "<html@mail.example>"
    mail.set_content(html, subtype="html")
    return mail.as_bytes(policy=SMTP).replace(b'charset="utf-8"', f'charset="{charset}"'.encode())


# --- Machines that answer machines -----------------------------------------------------------------------------------


def test_a_machine_that_accepts_after_the_end_is_not_answered(ada):
    """RFC 3834 section 2: no automatic answer to an automatic mail."""
    workdays.withdraw(sign_up=ada, actor=ada.member.account, now=NOW)
    row = take_in(answer(ada, partstat="ACCEPTED", headers=[("Auto-Submitted", "auto-replied")]))
    assert row.outcome == Outcome.IGNORED
    assert not ada.mails.filter(kind=Kind.ANSWER).exists()


def test_who_accepts_again_and_again_after_the_end_is_told_once(ada):
    workdays.withdraw(sign_up=ada, actor=ada.member.account, now=NOW)
    for number in range(1, 5):
        take_in(answer(ada, partstat="ACCEPTED", number=number))
    assert ada.mails.filter(kind=Kind.ANSWER).count() == 1


def test_a_machine_that_asks_for_the_invitation_is_not_answered(ada):
    before = ada.mails.count()
    take_in(answer(ada, method="REFRESH", headers=[("Auto-Submitted", "auto-generated")]))
    assert ada.mails.count() == before


def test_what_the_organizers_own_address_writes_is_kept_and_not_sent_back_to_it(group):
    row = take_in(plain_mail("I am away until Monday.", sender="Crew@reed.example"))
    assert row.outcome == Outcome.NOTED
    assert row.asks_for_eyes
    assert not OutgoingMail.objects.exists()


def test_one_sender_fills_nobodys_mailbox(group):
    """A broken absence note that says nothing of itself: ten messages a day go on, the others wait in the inbox."""
    rows = [take_in(plain_mail(f"Away, note {number}", sender="a@example.org")) for number in range(12)]
    assert [row.outcome for row in rows] == [Outcome.PASSED_ON] * 10 + [Outcome.KEPT] * 2
    assert OutgoingMail.objects.count() == 10
    tomorrow = take_in(plain_mail("Still there?", sender="a@example.org"), now=NOW + datetime.timedelta(days=2))
    assert tomorrow.outcome == Outcome.PASSED_ON


# --- HTML and charsets -----------------------------------------------------------------------------------------------


def test_a_message_in_html_alone_is_passed_on_in_words(group):
    html = "<style>p{}</style><script>x()</script><p>May I bring my <b>sister</b>?</p><p>Yours &amp; ours</p>"
    row = take_in(html_mail(html))
    assert row.words == "May I bring my sister?\n\nYours & ours"
    assert row.outcome == Outcome.PASSED_ON


@pytest.mark.parametrize("charset", ["idna", "punycode", "base64", "no-such", "utf-16", "\x00", "unicode_escape"])
def test_a_charset_that_is_none_keeps_the_words(charset, group):
    row = take_in(html_mail("<p>Hello there, good people</p>", charset))
    assert row.kind == IncomingMail.Kind.PERSONAL


@given(st.text())
def test_any_html_has_words_or_none(html):
    assert "\n\n\n" not in words_of_html(html)


# --- Any bytes -------------------------------------------------------------------------------------------------------

HEADERS = st.lists(
    st.tuples(
        st.sampled_from(
            ["From", "To", "Subject", "Content-Type", "Content-Transfer-Encoding", "Return-Path", "Auto-Submitted"]
        ),
        st.text(max_size=40) | st.sampled_from(["text/calendar; method=REPLY", "text/html", "multipart/mixed"]),
    ),
    max_size=6,
)


@given(headers=HEADERS, body=st.binary(max_size=300))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_comes_is_kept_as_it_came(group, headers, body):
    raw = b"".join(f"{name}: {value}\r\n".encode("utf-8", "surrogatepass") for name, value in headers) + b"\r\n" + body
    row = take_in(raw)
    assert bytes(IncomingMail.objects.get(pk=row.pk).raw) == raw
    assert take_in(raw).pk == row.pk


# --- The mailbox -----------------------------------------------------------------------------------------------------


def test_mails_arrive_byte_for_byte_as_they_lie_in_the_mailbox(group, imap_mailbox):
    raw = plain_mail("Grüße vom Ufer", sender="a@example.org") + b"\xff\xfe8 bit\r\n"
    imap_mailbox.deliver(raw, to=SERVICE)
    poller.read_mailbox(NOW)
    assert bytes(IncomingMail.objects.get().raw).endswith(raw)


def test_mails_that_cannot_be_moved_are_taken_in_and_hold_up_nobody(group, imap_mailbox, settings):
    """A folder that may not be written: each run goes on behind the last, and begins again at the end."""
    for number in range(5):
        imap_mailbox.deliver(plain_mail(f"Mail {number}", sender=f"{number}@example.org"), to=SERVICE)
    with poller.opened(poller.server_of(settings.IMAP_URL)) as mailbox:
        mailbox.folder.delete(poller.PROCESSED)
        read = [poller.read_some(mailbox, NOW, at_most=2) for _run in range(3)]
        assert (read, IncomingMail.objects.count()) == ([2, 2, 1], 5)
        poller.read_some(mailbox, NOW, at_most=2)
    assert IncomingMail.objects.count() == 5
    assert imap_mailbox.count("INBOX") == 5


def test_a_reader_that_lost_its_lock_does_no_harm_and_frees_no_others(group, imap_mailbox, settings):
    imap_mailbox.deliver(plain_mail("Hello", sender="a@example.org"), to=SERVICE)
    with poller.opened(poller.server_of(settings.IMAP_URL)) as first:
        (uid,) = first.uids()
        assert poller.read_mailbox(NOW) == 1  # the second reader takes it in and moves it away
        assert poller._take_in(first, uid, NOW) is False
    assert IncomingMail.objects.count() == 1
    cache.set(poller.LOCK, "somebody else's")
    assert poller.read_mailbox(NOW) == 0
    assert cache.get(poller.LOCK) == "somebody else's"
    cache.delete(poller.LOCK)


# --- People ----------------------------------------------------------------------------------------------------------


def test_an_offer_to_a_child_goes_to_the_guardian_and_names_the_child(group, day):
    leaving = sign_up(day, factories.make_member(group), "land")
    guardian = factories.make_member(group, name="Gail Fen")
    child = factories.make_child(guardian, name="Cas Fen")
    waiting = [sign_up(day, each, "land") for each in (guardian, child)][1]
    workdays.withdraw(sign_up=leaving, actor=leaving.member.account, now=NOW)
    offer = waiting.mails.get(kind=Kind.OFFER)
    assert offer.to_address == guardian.account.email
    assert "Cas Fen" in words_of(offer)


def test_who_has_no_mail_is_shown_to_the_organizer_and_told_once_they_have(group, day, ada, client):
    organizer = factories.make_member(group, role=Role.ORGANIZER).account
    silent = factories.make_member(group, name="Sid Quiet", account=None)
    waiting = workdays.sign_up(day=day, member=silent, place="water", actor=organizer, now=NOW).sign_up
    client.force_login(organizer)
    assert "has no mail: phone them" in client.get(f"{day.get_absolute_url()}roster/").content.decode()
    silent.account = factories.make_account("sid@example.org")
    silent.save()
    workdays.withdraw(sign_up=ada, actor=ada.member.account, now=NOW)
    offer = waiting.mails.get()
    assert (offer.kind, offer.to_address) == (Kind.OFFER, "sid@example.org")


def test_an_answer_of_somebody_who_has_left_changes_nothing(ada, bea):
    raw = answer(ada, partstat="ACCEPTED")
    workdays.withdraw(sign_up=ada, actor=ada.member.account, now=NOW)
    type(ada.member).objects.filter(pk=ada.member_id).update(left_at=NOW)
    take_in(raw)
    ada.refresh_from_db()
    assert ada.state == SignUp.State.WITHDRAWN


def test_a_returned_message_to_the_organizers_is_shown_to_them(group):
    take_in(plain_mail("Hello", sender="a@example.org"))
    passed_on = OutgoingMail.objects.get()
    report = delivery_report(status="5.1.1", recipient=group.contact_email)
    row = incoming.take_in(raw=report, envelope_to=passed_on.envelope_from, now=NOW)
    assert (row.outcome, row.group) == (Outcome.MARKED, group)
    assert row.asks_for_eyes


# --- Mailings --------------------------------------------------------------------------------------------------------


def test_old_thanks_are_not_written_after_a_long_rest(day):
    Mailing.objects.create(day=day, kind=MailChoice.Kind.THANKS, due_at=END)
    assert (day.pk, MailChoice.Kind.THANKS) in mailings.due(END + datetime.timedelta(days=13))
    assert mailings.due(END + datetime.timedelta(days=15)) == []


def test_a_part_without_an_end_and_with_a_broken_charset_is_read_as_far_as_it_goes():
    part = b"--x\r\nContent-Type: text/html; charset*=''\xff\r\n\r\n<p>Hello"
    assert read_mail(b"Content-Type: multipart/mixed; boundary=x\r\n\r\n" + part).words == "Hello"


# --- Two at once -----------------------------------------------------------------------------------------------------

if connection.vendor == "postgresql":

    @pytest.mark.django_db(transaction=True)
    def test_an_answer_waits_for_whoever_changes_the_day_and_holds_nothing_meanwhile(ada):
        """The day first, then the entry, on both sides: the other order would be a deadlock."""
        entry = CalendarEntry.objects.get(sign_up=ada)
        raw, taken = answer(ada), []

        def read() -> None:
            taken.append(take_in(raw))
            connection.close()

        thread = threading.Thread(target=read)
        with transaction.atomic():
            type(ada.day).objects.held(ada.day_id)
            thread.start()
            wait_until(_somebody_waits, what="the reader waits for the day")
            CalendarEntry.objects.select_for_update(nowait=True).get(pk=entry.pk)
            services.tell_day_changed(day=ada.day, now=NOW)
        thread.join()
        assert taken[0].outcome == Outcome.APPLIED

    def _somebody_waits() -> bool:
        with connection.cursor() as cursor:
            cursor.execute("SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock'")
            return bool(cursor.fetchone()[0])
