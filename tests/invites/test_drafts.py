"""A mail that is decided now and written later says what was true when it was decided, in the language of then."""

from datetime import timedelta
from email import message_from_bytes, policy
from importlib import import_module

import pytest
from django.apps import apps

from reedcrew.invites import outbox
from reedcrew.invites.drafts import bytes_of, write
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.models import Account
from reedcrew.people.roles import Role
from reedcrew.stands.models import Site
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def mail() -> OutgoingMail:
    """The invitation of somebody who reads French, as the deed leaves it."""
    group = factories.make_group(name="Roselière")
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand, title="Cutting day", land_places=3, what_to_bring="Gloves")
    member = factories.make_member(group, name="Ada Marsh")
    Account.objects.filter(pk=member.account_id).update(language="fr")
    member.account.refresh_from_db()
    workdays.sign_up(day=day, member=member, place="land", actor=member.account, now=NOW)
    return OutgoingMail.objects.get()


def test_what_changes_after_the_deed_is_not_in_its_mail(mail, smtp_server):
    decided = bytes_of(mail)
    assert bytes(mail.raw) == b""
    WorkDay.objects.update(title="Another title", starts_at=NOW + timedelta(days=20), ends_at=NOW + timedelta(days=21))
    Site.objects.update(meeting_place="Somewhere else", time_zone="Australia/Sydney")
    Account.objects.update(language="es")
    outbox.deliver(mail_pk=mail.pk, now=NOW + timedelta(hours=1))
    (received,) = smtp_server.received
    said = message_from_bytes(received.raw, policy=policy.default)
    body = said.get_body(("plain",)).get_content()
    assert "Journée de travail : Cutting day" in said["Subject"]
    assert "Bonjour Ada Marsh" in body
    assert "Gloves" in body
    assert "Somewhere else" not in body
    mail.refresh_from_db()
    assert (bytes(mail.raw), mail.draft) == (decided, None)


def test_a_mail_is_written_once(mail):
    write(mail)
    kept = bytes(mail.raw)
    write(mail)
    mail.refresh_from_db()
    assert bytes(mail.raw) == kept == bytes_of(mail)


def test_the_outbox_shows_the_same_words_before_and_after(mail, client):
    organizer = factories.make_member(mail.group, role=Role.ORGANIZER)
    client.force_login(organizer.account)
    address = f"/g/{mail.group.slug}/outbox/{mail.pk}/"
    before = client.get(address).context["words"]
    write(mail)
    assert client.get(address).context["words"].split() == before.split()
    assert "Bonjour Ada Marsh" in before


def test_drafts_are_written_before_their_column_goes(mail):
    decided = bytes_of(mail)
    import_module("reedcrew.invites.migrations.0003_write_drafts").write_drafts(apps, None)
    mail.refresh_from_db()
    assert (bytes(mail.raw), mail.draft) == (decided, None)
