"""Marking somebody absent at sign-in, through HTTP, and what the fieldbook says against it."""

import pytest
from django.urls import reverse

from reedcrew.fieldbook import errors
from reedcrew.fieldbook import services as fieldbook
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from tests import factories
from tests.factories import START, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def sign_up():
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    day = factories.make_day(stand)
    return factories.make_sign_up(day, factories.make_water_member(day.group, name="Nia Nettle"))


@pytest.fixture
def lead(client, sign_up, time_machine):
    time_machine.move_to(START, tick=False)
    member = factories.make_member(sign_up.day.group, role=Role.CREW_LEAD)
    client.force_login(member.account)
    return account_of(member)


def press(client, name, sign_up) -> str:
    day = sign_up.day
    text: str = client.post(reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk, sign_up.pk]), follow=True).text
    return text


def test_a_crew_lead_marks_somebody_absent_and_takes_it_back(client, lead, sign_up):
    page = press(client, "mark_absent", sign_up)
    assert "Nia Nettle is marked as absent." in page
    assert "did not come" in page
    page = press(client, "mark_present", sign_up)
    assert "Nia Nettle is expected again." in page
    assert "not here yet" in page


def test_whoever_comes_late_after_all_is_signed_in_and_no_longer_absent(lead, sign_up):
    workdays.mark_absent(sign_up=sign_up, actor=lead, now=START)
    fieldbook.sign_in(day=sign_up.day, member=sign_up.member, in_water=False, at=START, actor=lead, now=START)
    sign_up.refresh_from_db()
    assert sign_up.outcome == ""


def test_whoever_was_on_site_did_come(client, lead, sign_up):
    stay = fieldbook.sign_in(day=sign_up.day, member=sign_up.member, in_water=False, at=START, actor=lead, now=START)
    assert "was signed in on this day, so they did come" in press(client, "mark_absent", sign_up)
    with pytest.raises(errors.WasOnSite):
        workdays.mark_absent(sign_up=sign_up, actor=lead, now=START)
    fieldbook.strike(entry=stay, reason="the wrong person", actor=lead, now=START)
    assert workdays.mark_absent(sign_up=sign_up, actor=lead, now=START).outcome == "absent"


def test_a_volunteer_marks_nobody(client, sign_up, time_machine):
    time_machine.move_to(START, tick=False)
    client.force_login(sign_up.member.account)
    day = sign_up.day
    for name in ("mark_absent", "mark_present"):
        address = reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk, sign_up.pk])
        assert client.post(address).status_code == 403
