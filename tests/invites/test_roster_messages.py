"""A message to a roster: looked at first, held back for a minute, taken back while it can, followed as it goes out."""

import datetime
import re
import uuid

import pytest
import time_machine
from django.urls import reverse

from reedcrew.invites import choices, mailings, outbox
from reedcrew.invites.addresses import note_fault
from reedcrew.invites.errors import MessageGone
from reedcrew.invites.models import MailChoice, OutgoingMail, RosterMessage
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)
State = OutgoingMail.State


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER)


@pytest.fixture
def day(group):
    return factories.make_day(factories.make_stand(group))


def coming(day, name, **fields):
    member = factories.make_member(day.group, name=name, **fields)
    factories.make_sign_up(day, member)
    return member


def write(day, organizer, *, now=NOW, about_safety=False):
    return mailings.write_to_roster(
        day=day,
        subject="Other gate",
        words="Come by the east gate.",
        about_safety=about_safety,
        to_waiting=False,
        actor=account_of(organizer),
        now=now,
        submission=uuid.uuid4(),
    )


def looked_at(page):
    """The mark that the form of a preview hands on."""
    return re.search(r'name="looked_at" value="(\w+)"', page.text)[1]


def test_it_is_held_back_for_a_minute_but_not_what_is_about_safety(day, organizer):
    coming(day, "Ada Ash")
    held, urgent = write(day, organizer), write(day, organizer, about_safety=True)
    assert [message.mails.get().next_try_at for message in (held, urgent)] == [NOW + MINUTE, NOW]


def test_whoever_is_asked_to_take_a_place_hears_and_whoever_withdrew_or_waits_does_not(day, organizer):
    asked, waits, gone, came = (factories.make_member(day.group) for _number in range(4))
    until = NOW + datetime.timedelta(hours=6)
    factories.make_sign_up(day, asked, state="offered", offer_until=until)
    factories.make_sign_up(day, waits, state="waiting")
    factories.make_sign_up(day, gone, state="withdrawn")
    factories.make_sign_up(day, came)
    child = factories.make_child(came)
    factories.make_sign_up(day, child)
    message = write(day, organizer, about_safety=True)
    assert {mail.sign_up.member for mail in message.mails.all()} == {asked, came, child}
    assert sorted(message.mails.values_list("to_address", flat=True)) == sorted(
        [account_of(asked).email, account_of(came).email, account_of(came).email]
    )


def test_what_has_not_gone_out_is_stopped_and_nothing_of_it_goes_later(day, organizer):
    for name in ("Ada Ash", "Bo Birch", "Cy Cedar"):
        coming(day, name)
    message = write(day, organizer)
    gone, *held = message.mails.order_by("pk")
    OutgoingMail.objects.filter(pk=gone.pk).update(state=State.SENT, tries=1)
    assert mailings.take_back(message=message, actor=account_of(organizer), now=NOW) == 2
    assert mailings.take_back(message=message, actor=account_of(organizer), now=NOW) == 0
    assert {mail.state for mail in message.mails.exclude(pk=gone.pk)} == {State.DROPPED}
    assert all(outbox.deliver(mail_pk=mail.pk, now=NOW + MINUTE) is None for mail in held)
    assert outbox.due_mails(NOW + 2 * MINUTE) == []


def test_what_a_server_was_offered_already_can_not_be_taken_back(day, organizer):
    coming(day, "Ada Ash")
    message = write(day, organizer)
    message.mails.update(tries=1)
    with pytest.raises(MessageGone):
        mailings.take_back(message=message, actor=account_of(organizer), now=NOW)
    message.refresh_from_db()
    assert message.taken_back_at is None


def test_before_it_is_sent_it_is_shown_with_whom_it_reaches_and_whom_not(client, group, day, organizer):
    coming(day, "Ada Ash")
    silent, lost = coming(day, "Bo Birch"), coming(day, "Cy Cedar")
    factories.make_sign_up(day, factories.make_member(group, name="Di Dogwood", account=None))
    choices.choose(account=silent.account, kind=MailChoice.Kind.MESSAGE, wanted=False, now=NOW)
    note_fault(address=lost.account.email, status="5.1.1", reason="no such mailbox", now=NOW)
    client.force_login(account_of(organizer))
    address = reverse("invites:write", args=[group.slug, day.pk])
    said = {"subject": "Other gate", "words": "Come by the east gate.", "submission": str(uuid.uuid4())}
    with time_machine.travel(NOW, tick=False):
        page = client.post(address, {**said, "preview": "1"})
        text = " ".join(page.text.split())
        assert not RosterMessage.objects.exists()
        assert "1 person gets it" in text
        assert "3 people do not" in text
        for line in (
            "Bo Birch: turned messages off",
            "Cy Cedar: Mail to this address does not arrive",
            "Di Dogwood: has no mail: phone them",
            "Hello Ada Ash",
        ):
            assert line in text
        assert page.text.count("Come by the east gate.") == 2  # in the letter, and still in the form
        safe = client.post(address, {**said, "preview": "1", "about_safety": "on"}).text
        assert "3 people get it" in safe
        sent = client.post(address, {**said, "looked_at": looked_at(page)}, follow=True).text
        assert "0 of 1 have gone out" in sent
        assert "Take it back" in sent
        back = reverse("invites:take_back", args=[group.slug, day.pk, RosterMessage.objects.get().pk])
        taken = client.post(back, follow=True).text
    assert "1 mail is stopped." in taken
    assert "Take it back" not in taken


@pytest.mark.parametrize(
    "change", [{"words": "Come by the west gate."}, {"about_safety": "on"}, {"to_waiting": "on"}, {"looked_at": ""}]
)
def test_what_was_not_looked_at_as_it_is_does_not_go_out(client, group, day, organizer, change):
    coming(day, "Ada Ash")
    client.force_login(account_of(organizer))
    address = reverse("invites:write", args=[group.slug, day.pk])
    said = {"subject": "Other gate", "words": "Come by the east gate.", "submission": str(uuid.uuid4())}
    seen = looked_at(client.post(address, {**said, "preview": "1"}))
    changed = {**said, "looked_at": seen, **change}
    page = client.post(address, changed)
    assert not RosterMessage.objects.exists()
    assert ("is not the one you looked at" in page.text) == bool(changed["looked_at"])
    assert page.text.count(changed["words"]) == 2  # in the letter, and still in the form
    client.post(address, {**changed, "looked_at": looked_at(page)})
    assert RosterMessage.objects.get().words == changed["words"]


def test_the_page_takes_as_many_queries_for_many_people_and_messages_as_for_one(
    client, group, day, organizer, count_queries
):
    coming(day, "Ada Ash")
    write(day, organizer)
    client.force_login(account_of(organizer))
    address = reverse("invites:write", args=[group.slug, day.pk])

    client.get(address)
    few = count_queries(lambda: client.get(address))
    for number in range(5):
        coming(day, f"Wader {number}")
        write(day, organizer)
    assert count_queries(lambda: client.get(address)) == few
