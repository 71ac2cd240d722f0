"""Tokens: shown once, kept as a digest, and dead with whatever they rested on."""

import datetime
import json

import pytest
import time_machine
from django.urls import reverse

from reedcrew.api import services
from reedcrew.api.models import ApiToken
from reedcrew.api.scopes import Scope
from reedcrew.people.held import held_on
from reedcrew.people.models import AuditEntry, Member
from reedcrew.people.roles import Role
from reedcrew.people.services import erase_member, leave, set_standing
from tests import factories
from tests.api.rows import make_token, program
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db

INVALID = 'Bearer realm="reedcrew", error="invalid_token"'


@pytest.fixture(autouse=True)
def now():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER)


@pytest.fixture
def coordinator(group, organizer):
    return factories.make_member(group, role=Role.COORDINATOR)


def ask(secret, address="token"):
    return program(secret).get(f"/api/v1/{address}")


def is_dead(secret):
    answer = ask(secret)
    return (answer.status_code, answer.headers.get("WWW-Authenticate")) == (401, INVALID)


def make_by_form(client, group, **said):
    opened = client.get(reverse("api:new_token", args=[group.slug]))
    sent = {
        "name": "Map",
        "scopes": ["stands"],
        "days": "90",
        "submission": opened.context["form"]["submission"].value(),
    }
    return client.post(reverse("api:new_token", args=[group.slug]), sent | said, follow=True), sent | said


def test_a_new_token_is_shown_once_and_kept_as_a_digest(client, group, coordinator, caplog):
    client.force_login(account_of(coordinator))
    page, sent = make_by_form(client, group)
    secret = page.context["secret"]
    assert secret in page.text
    assert secret not in client.get(reverse("api:programs", args=[group.slug])).text
    again = client.post(reverse("api:new_token", args=[group.slug]), sent, follow=True)
    assert "its secret was shown that once" in again.text
    token = ApiToken.objects.get()
    assert secret not in json.dumps(list(ApiToken.objects.values()), default=str)
    assert ask(secret).json()["scopes"] == ["stands"]
    assert token.expires_at == NOW + datetime.timedelta(days=90)
    assert AuditEntry.objects.get(deed="token made").detail == {"scopes": ["stands"]}
    held = held_on(account_of(coordinator), NOW)["tables"]["api.ApiToken"]
    assert [("digest" in row, row["name"]) for row in held] == [(False, "Map")]


def test_wrong_forms_say_what_would_be_right(client, group, coordinator):
    client.force_login(account_of(coordinator))
    for said, sentence in (
        ({"scopes": []}, "This field is required."),
        ({"scopes": ["names"]}, "Names stand in plans and hours only"),
        ({"scopes": ["days", "outlines"]}, "Outlines stand with stands only"),
        ({"days": "9999"}, "Select a valid choice."),
    ):
        page, _sent = make_by_form(client, group, **said)
        assert sentence in page.text
    assert not ApiToken.objects.exists()


def test_without_a_token_one_is_asked_for_and_dead_ones_answer_alike(client, group, organizer):
    asked = client.get("/api/v1/token")
    assert (asked.status_code, asked["WWW-Authenticate"]) == (401, 'Bearer realm="reedcrew"')
    token, revoked = make_token(organizer)
    services.revoke_token(token=token, actor=account_of(organizer), now=NOW)
    _token, expired = make_token(organizer, number=2, days=1)
    with time_machine.travel(NOW + datetime.timedelta(days=1), tick=False):
        answers = [
            ask(secret) for secret in (revoked, expired, "reedcrew_guessed", "\N{SNOWMAN}".encode().decode("latin-1"))
        ]
    assert [(answer.status_code, answer["WWW-Authenticate"]) for answer in answers] == [(401, INVALID)] * 4
    assert len({answer.content for answer in answers}) == 1


def test_a_scope_that_is_missing_is_named(organizer):
    _token, secret = make_token(organizer, Scope.STANDS)
    answer = ask(secret, "hours")
    assert answer.status_code == 403
    assert answer["WWW-Authenticate"].endswith('error="insufficient_scope", scope="hours"')
    assert ask(secret, "stands").status_code == 200


def set_role(member: Member, role: Role, actor: Member):
    set_standing(
        member=member,
        role=role,
        trained_lead=False,
        earlier_water_days=0,
        guardian=None,
        actor=account_of(actor),
        now=NOW,
    )


def test_a_token_dies_for_good_with_the_role_of_its_maker(organizer, coordinator):
    _token, secret = make_token(coordinator)
    set_role(coordinator, Role.CREW_LEAD, organizer)
    assert is_dead(secret)
    set_role(coordinator, Role.COORDINATOR, organizer)
    assert is_dead(secret)
    assert AuditEntry.objects.get(deed="token revoked").detail == {"with_its_maker": True}


def test_a_token_stays_with_another_role_that_may_keep_it(organizer, coordinator):
    _token, secret = make_token(coordinator)
    set_role(coordinator, Role.ORGANIZER, organizer)
    assert ask(secret).status_code == 200


def test_a_token_dies_with_the_membership_and_the_account_of_its_maker(organizer, coordinator):
    _token, secret = make_token(coordinator)
    leave(member=coordinator, actor=account_of(coordinator), now=NOW)
    assert is_dead(secret)
    erase_member(member=coordinator, actor=account_of(organizer), now=NOW)
    assert not ApiToken.objects.exists()
    account = account_of(organizer)
    _token, other = make_token(organizer)
    account.is_active = False
    account.save()
    assert is_dead(other)


def test_a_token_waits_while_its_maker_lacks_the_second_step_that_is_asked_for(settings, organizer):
    _token, secret = make_token(organizer)
    settings.SECOND_STEP_DAYS = 1
    Member.objects.filter(pk=organizer.pk).update(joined_at=NOW - datetime.timedelta(days=2))
    assert is_dead(secret)
    settings.SECOND_STEP_DAYS = 0
    assert ask(secret).status_code == 200


def test_revoking_ends_a_token_at_once(client, group, organizer):
    client.force_login(account_of(organizer))
    token, secret = make_token(organizer)
    page = client.post(reverse("api:revoke_token", args=[group.slug, token.pk]), follow=True)
    assert "does not open anything any more" in page.text
    assert is_dead(secret)


def test_coordinators_see_no_webhooks(client, group, coordinator):
    client.force_login(account_of(coordinator))
    page = client.get(reverse("api:programs", args=[group.slug]))
    assert "Make a token" in page.text
    assert "/api/v1/token&quot;" in page.text  # where no program reads yet, its first question is shown
    assert "webhook" not in page.text.replace("by a webhook", "")
