"""Who guards an installation can read who signed in, failed, was refused or changed who may do what; by keys alone."""

import logging

import pytest
from django.core.cache import cache
from django.urls import reverse

from reedcrew.people.errors import LastOrganizer
from reedcrew.people.roles import Role
from reedcrew.people.services import set_standing
from tests.factories import NOW, account_of, make_account, make_group, make_member
from tests.people.test_sign_in import ask, enter

pytestmark = pytest.mark.django_db


@pytest.fixture
def lines(caplog):
    """A function that gives the lines of the security log so far."""
    caplog.set_level(logging.INFO, logger="reedcrew.security")
    return lambda: [record.getMessage().strip() for record in caplog.records if record.name == "reedcrew.security"]


def test_signing_in_a_wrong_code_and_signing_out_are_noted_without_the_address(client, lines, settings):
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "log"}}
    cache.clear()
    account = make_account("someone@example.org")
    ask(client, "someone@example.org")
    client.post(reverse("account_confirm_login_code"), {"code": "WRONG-CODE"})
    enter(client)
    client.post(reverse("account_logout"))
    key = f"account={account.pk}"
    assert lines() == ["wrong sign-in code", f"signed in {key}", f"signed out {key}"]


def test_what_a_role_may_not_and_groups_that_are_not_ones_own_are_noted(client, lines):
    member, other = make_member(make_group()), make_group()
    client.force_login(account_of(member))
    before = len(lines())
    client.get(reverse("people:add_member", args=[member.group.slug]))
    client.get(other.get_absolute_url())
    key = f"account={member.account_id}"
    assert lines()[before:] == [
        f"refused {key} group={member.group_id} deed=KEEP_PEOPLE",
        f"no such group for this account {key}",
    ]


def test_a_change_of_role_is_noted_once_it_holds(lines, django_capture_on_commit_callbacks):
    group = make_group()
    organizer, person = make_member(group, role=Role.ORGANIZER), make_member(group)

    def give(member, role):
        set_standing(
            member=member,
            role=role,
            trained_lead=False,
            earlier_water_days=0,
            guardian=None,
            actor=account_of(organizer),
            now=NOW,
        )

    with django_capture_on_commit_callbacks(execute=True):
        give(person, Role.COORDINATOR)
        assert lines() == []
    assert lines() == [
        f"standing changed group={group.pk} actor={organizer.account_id} subject=people.Member:{person.pk}"
    ]
    with django_capture_on_commit_callbacks(execute=True), pytest.raises(LastOrganizer):
        give(organizer, Role.VOLUNTEER)
    assert len(lines()) == 1
