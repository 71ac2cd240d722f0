"""The outbox page and the page of one mail, as an organizer reads them."""

import datetime

import pytest
from django.urls import reverse

from reedcrew.invites import outbox
from reedcrew.invites.addresses import is_marked
from reedcrew.invites.drafts import bytes_of
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from reedcrew.workdays.forms import values_of
from tests import factories
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db

State = OutgoingMail.State


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand, water_places=1)


@pytest.fixture
def organizer(group, client):
    account = factories.make_member(group, role=Role.ORGANIZER).account
    client.force_login(account)
    return account


def sign_up(day, name="Ada Marsh", now=NOW):
    member = factories.make_member(day.group, name=name)
    return workdays.sign_up(day=day, member=member, place="water", actor=member.account, now=now).sign_up


def page(client, name, group, *args, **query):
    response = client.get(reverse(f"invites:{name}", args=[group.slug, *args]), query)
    assert response.status_code == 200
    return response.content.decode()


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ("451 4.3.0 Try later", "asks us to try again later"),
        ("452 4.2.2 Mailbox full", "The mailbox is full; we try again"),
        ("550 5.1.1 No such mailbox", "There is no such mailbox"),
        ("552 5.2.2 Over quota", "The mailbox is full. Ask the person"),
        ("554 5.7.1 Spam", "does not want this mail"),
        ("554 No", "refused the mail for good"),
    ],
)
def test_the_page_of_a_mail_says_in_plain_words_what_stopped_it(
    answer, words, client, group, day, organizer, smtp_server
):
    """Codes of RFC 5321 section 4.2 and RFC 3463 section 3."""
    mail = sign_up(day).mails.get()
    smtp_server.refusals.append(answer)
    outbox.deliver(mail_pk=mail.pk, now=NOW)
    text = page(client, "mail", group, mail.pk)
    assert words in text
    assert answer in text  # and what the server said, for who can read it


def test_a_server_that_is_away_is_said_in_plain_words(client, group, day, organizer, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9
    mail = sign_up(day).mails.get()
    outbox.deliver(mail_pk=mail.pk, now=NOW)
    assert "could not be reached" in page(client, "mail", group, mail.pk)


def test_the_list_shows_for_whom_a_mail_is_and_can_be_narrowed_to_a_state(client, group, day, organizer):
    refused, waiting = sign_up(day, "Ada Marsh"), sign_up(day, "Bea Fen")
    OutgoingMail.objects.filter(sign_up=refused).update(state=State.REFUSED)
    whole = page(client, "outbox", group)
    assert all(name in whole for name in ("Ada Marsh", "Bea Fen", "waiting <span", "refused for good <span"))
    narrowed = page(client, "outbox", group, state="refused")
    assert "Ada Marsh" in narrowed
    assert waiting.member.name not in narrowed
    assert "Bea Fen" in page(client, "outbox", group, state="nonsense")
    assert "No mail is in this state" in page(client, "outbox", group, state="dropped")


def test_the_page_shows_the_words_of_a_mail_and_no_link_that_answers_for_the_person(client, group, day, organizer):
    first, second = sign_up(day), sign_up(day, "Bea Fen")
    workdays.withdraw(sign_up=first, actor=first.member.account, now=NOW)
    offer = second.mails.get(kind=OutgoingMail.Kind.OFFER)
    text = page(client, "mail", group, offer.pk)
    assert "Bea Fen" in text
    assert "/answers/***" in text
    token = bytes_of(offer)
    assert b"answers" not in token  # it is encoded there: the mask is not what hides it
    assert text.count("/answers/") == text.count("/answers/***")


def test_a_mail_of_another_group_and_a_reader_who_may_not_find_nothing(client, group, day, organizer):
    mail = sign_up(day).mails.get()
    other = factories.make_group()
    client.force_login(factories.make_member(other, role=Role.ORGANIZER).account)
    assert client.get(reverse("invites:mail", args=[other.slug, mail.pk])).status_code == 404
    client.force_login(factories.make_member(group).account)
    assert client.get(reverse("invites:mail", args=[group.slug, mail.pk])).status_code in {403, 404}


def test_sending_again_leads_back_to_the_mail(client, group, day, organizer):
    mail = sign_up(day).mails.get()
    OutgoingMail.objects.update(state=State.REFUSED, last_error="SMTPRecipientsRefused: 550 5.1.1 none")
    response = client.post(reverse("invites:send_again", args=[group.slug, mail.pk]))
    assert response["Location"] == reverse("invites:mail", args=[group.slug, mail.pk])
    mail.refresh_from_db()
    assert mail.state == State.WAITING


def test_organizers_see_on_the_groups_page_what_was_refused_and_what_does_not_get_through(
    client, group, day, organizer, smtp_server
):
    first, second = sign_up(day), sign_up(day, "Bea Fen")
    smtp_server.refusals.extend(["550 5.1.1 No such mailbox", "451 4.3.0 Try later"])
    for each in (first, second):
        outbox.deliver(mail_pk=each.mails.get().pk, now=NOW)
    text = client.get(group.get_absolute_url()).content.decode()
    assert "1 mail was refused for good" in text
    assert "1 mail did not get through yet" in text


# --- What the outbox leaves out --------------------------------------------------------------------------------------


def test_an_offer_that_was_taken_at_night_is_not_told_in_the_morning(day):
    night = NOW + datetime.timedelta(hours=15)  # 03:00 UTC is 23:00 at the site
    first, second = sign_up(day), sign_up(day, "Bea Fen")
    workdays.withdraw(sign_up=first, actor=first.member.account, now=night)
    offer = second.mails.get(kind=OutgoingMail.Kind.OFFER)
    assert offer.next_try_at > night
    second.refresh_from_db()
    workdays.withdraw(sign_up=second, actor=second.member.account, now=night)
    offer.refresh_from_db()
    assert offer.state == State.DROPPED


def test_an_offer_that_still_holds_is_told_in_the_morning_whatever_else_is_told_before(day, organizer):
    night = NOW + datetime.timedelta(hours=15)
    first, second = sign_up(day), sign_up(day, "Bea Fen")
    workdays.withdraw(sign_up=first, actor=first.member.account, now=night)
    day.refresh_from_db()
    facts = workdays.DayFacts(**{**values_of(day), "note": "Bring boots"})
    workdays.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=night)
    assert second.mails.get(kind=OutgoingMail.Kind.OFFER).state == State.WAITING


def test_a_mail_that_its_day_has_passed_by_is_not_sent(day, smtp_server):
    mail = sign_up(day).mails.get()
    assert outbox.deliver(mail_pk=mail.pk, now=START + datetime.timedelta(days=3)) is None
    mail.refresh_from_db()
    assert (mail.state, smtp_server.received) == (State.DROPPED, [])


def test_who_does_not_get_through_for_five_days_is_given_up(day, smtp_server):
    """RFC 5321 section 4.5.4.1: the give-up time is at least four to five days."""
    mail = sign_up(day).mails.get()
    type(day).objects.update(starts_at=START + datetime.timedelta(days=90), ends_at=START + datetime.timedelta(days=91))
    moment = NOW
    smtp_server.refusals.extend(["451 4.3.0 Try later"] * 60)
    while mail.state == State.WAITING:
        outbox.deliver(mail_pk=mail.pk, now=moment)
        mail.refresh_from_db()
        moment = max(mail.next_try_at, moment)
    assert mail.state == State.REFUSED
    assert datetime.timedelta(days=4) < mail.tried_at - NOW < datetime.timedelta(days=6)


def test_a_server_that_does_not_take_our_own_address_marks_nobody(day, group, smtp_server, settings):
    """A refusal of MAIL or of the sign-in is the operator's matter (RFC 5321 section 3.3)."""
    settings.EMAIL_HOST_USER, settings.EMAIL_HOST_PASSWORD = "crew", "wrong"
    mail = sign_up(day).mails.get()
    tried = outbox.deliver(mail_pk=mail.pk, now=NOW)
    assert (tried.state, smtp_server.received) == (State.WAITING, [])
    assert not is_marked(mail.to_address)


def test_a_mail_that_the_mail_library_refuses_does_not_hold_up_the_next(day, smtp_server):
    broken, fine = sign_up(day).mails.get(), sign_up(day, "Bea Fen").mails.get()
    OutgoingMail.objects.filter(pk=broken.pk).update(to_address="a@b@c\r\nx: y")
    with outbox.Line() as line:
        states = [outbox.deliver(mail_pk=each.pk, now=NOW, line=line).state for each in (broken, fine)]
    assert states == [State.WAITING, State.SENT]
