"""Letters, calendar events and feeds speak the language of whoever gets them, whoever caused them."""

import datetime
import email
from email import policy

import pytest
from django.utils.translation import get_language, override

from reedcrew.invites import feeds, mailings
from reedcrew.invites.drafts import bytes_of
from reedcrew.invites.models import MailChoice, OutgoingMail
from reedcrew.invites.services import invite
from tests.factories import NOW, make_day, make_group, make_sign_up, make_stand, make_water_member, make_zone

pytestmark = pytest.mark.django_db


@pytest.fixture
def people():
    """A French group's day with somebody who chose nothing, and somebody who chose Spanish."""
    group = make_group(language="fr")
    stand = make_stand(group)
    make_zone(stand)
    day = make_day(stand, water_places=2, what_to_bring="Sun hat")
    members = [make_water_member(group), make_water_member(group)]
    members[1].account.language = "es"
    members[1].account.save()
    return [make_sign_up(day, member) for member in members]


def html_of(mail):
    message = email.message_from_bytes(bytes_of(mail), policy=policy.default)
    return message.get_body(("html",)).get_content()


def test_each_invitation_is_in_its_readers_language_whoever_asked_them(people):
    with override("en"):
        french, spanish = (invite(sign_up=each, actor=each.member.account, now=NOW) for each in people)
        assert get_language() == "en"
    assert '<html lang="fr">' in html_of(french)
    assert '<html lang="es">' in html_of(spanish)
    assert "sam 15 août 2026" in html_of(french)
    assert "sáb 15 de agosto de 2026" in html_of(spanish)
    assert french.subject != spanish.subject


def test_a_mailing_of_the_worker_is_written_anew_for_each_reader(people):
    mailings.write_mailing(
        day_pk=people[0].day_id,
        kind=MailChoice.Kind.EVENING_BEFORE,
        now=people[0].day.starts_at - datetime.timedelta(1),
    )
    first, second = OutgoingMail.objects.filter(kind=OutgoingMail.Kind.REMINDER).order_by("pk")
    assert ['<html lang="fr">' in html_of(first), '<html lang="es">' in html_of(second)] == [True, True]


def test_a_feed_is_named_in_its_owners_language_and_renewed_when_that_changes(people):
    account = people[1].member.account
    token = feeds.make_address(account=account, now=NOW)
    spanish = feeds.personal_feed(token, NOW)
    account.language = "fr"
    account.save()
    french = feeds.personal_feed(token, NOW)
    assert spanish.etag != french.etag
    assert spanish.as_bytes() != french.as_bytes()
