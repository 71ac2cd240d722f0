"""Who may do what others must not gets some days to add a passkey or an authenticator app, and then must have it."""

import datetime

import pytest
import time_machine
from allauth.mfa.models import Authenticator
from django.urls import reverse

from reedcrew.people.roles import SECOND_STEP_DEEDS, Deed, Role
from reedcrew.people.services import set_standing
from tests.factories import NOW, account_of, make_group, make_member

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)


@pytest.fixture(autouse=True)
def asked_after_two_weeks(settings):
    settings.SECOND_STEP_DAYS = 14
    with time_machine.travel(NOW, tick=False):
        yield


def opens(client, member, name):
    client.force_login(account_of(member))
    answer = client.get(reverse(f"people:{name}", args=[member.group.slug]))
    return answer.status_code if answer.status_code != 302 else answer.url


@pytest.mark.parametrize(("days", "answer"), [(13, 200), (14, "/me/second-step/")])
def test_an_organizer_has_two_weeks_and_is_then_led_to_the_page(client, days, answer):
    organizer = make_member(make_group(), role=Role.ORGANIZER, joined_at=NOW - days * DAY)
    assert opens(client, organizer, "edit_group") == answer
    page = client.get(reverse("people:second_step")).text
    assert reverse("mfa_activate_totp") in page
    assert "closed from" in client.get(reverse("people:security")).text


@pytest.mark.parametrize("kind", ["totp", "webauthn"])
def test_with_a_second_step_everything_is_open(client, kind):
    organizer = make_member(make_group(), role=Role.ORGANIZER, joined_at=NOW - 99 * DAY)
    Authenticator.objects.create(user=account_of(organizer), type=kind, data={})
    assert opens(client, organizer, "edit_group") == 200
    assert "Nothing is missing here" in client.get(reverse("people:second_step")).text


def test_recovery_codes_alone_are_no_second_step(client):
    organizer = make_member(make_group(), role=Role.ORGANIZER, joined_at=NOW - 99 * DAY)
    Authenticator.objects.create(user=account_of(organizer), type="recovery_codes", data={})
    assert opens(client, organizer, "edit_group") == "/me/second-step/"


def test_the_days_begin_with_the_role_and_not_with_joining(client):
    group = make_group()
    organizer = make_member(group, role=Role.ORGANIZER)
    person = make_member(group, joined_at=NOW - 99 * DAY)
    set_standing(
        member=person,
        role=Role.ORGANIZER,
        trained_lead=False,
        earlier_water_days=0,
        guardian=None,
        actor=account_of(organizer),
        now=NOW - DAY,
    )
    person.refresh_from_db()
    assert opens(client, person, "edit_group") == 200


def test_a_day_in_the_field_is_never_shut():
    field = {Deed.RUN_DAY, Deed.SEE_PRIVATE, Deed.HANDLE_GEAR, Deed.PLAN_CREWS, Deed.SEE_ROSTER, Deed.SEE_GROUP}
    assert not field & SECOND_STEP_DEEDS
    assert {Deed.KEEP_GROUP, Deed.KEEP_PEOPLE, Deed.KEEP_GRANTS, Deed.SEE_MAIL} <= SECOND_STEP_DEEDS


def test_others_and_installations_that_do_not_ask_are_left_alone(client, settings):
    group = make_group()
    lead = make_member(group, role=Role.CREW_LEAD, joined_at=NOW - 99 * DAY)
    assert opens(client, lead, "members") == 200
    settings.SECOND_STEP_DAYS = 0
    organizer = make_member(group, role=Role.ORGANIZER, joined_at=NOW - 99 * DAY)
    assert opens(client, organizer, "edit_group") == 200
