"""Signing in on one phone that is passed around: names only, no account, and over after the day."""

import datetime
import re

import pytest
from django.test import Client
from django.urls import reverse

from reedcrew.fieldbook.models import Attendance, KioskLink
from reedcrew.people.models import Member
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import END, START, account_of

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(), role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(lead, time_machine):
    time_machine.move_to(START + HOUR, tick=False)
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand)
    return factories.make_day(stand)


@pytest.fixture
def address(client, lead, day) -> str:
    """The address of a link that the crew lead made."""
    client.force_login(account_of(lead))
    page = client.post(reverse("fieldbook:kiosk_links", args=[day.group.slug, day.pk]))
    return re.search(r'href="http://testserver(/[^"]+/at/[^"]+)"', page.text)[1]


def test_people_sign_themselves_in_and_out_without_an_account(day, lead, address):
    member = factories.make_member(lead.group, name="Ada Marsh", profile={"phone": "555 0142"})
    factories.make_sign_up(day, member)
    phone = Client()
    page = phone.get(address)
    assert "Ada Marsh" in page.text
    assert "555 0142" not in page.text
    phone.post(address, {"member": member.pk, "deed": "in"})
    page = phone.post(address, {"member": member.pk, "deed": "in"}, follow=True)  # a second press
    stay = Attendance.objects.get()
    assert (stay.member, stay.entered_by) == (member, account_of(lead))
    page = phone.post(address, {"member": member.pk, "deed": "out"}, follow=True)
    assert "Ada Marsh is signed out." in page.text


def test_somebody_of_another_day_or_group_is_not_signed_in(day, lead, address):
    stranger = factories.make_member(lead.group)
    page = Client().post(address, {"member": stranger.pk, "deed": "in"}, follow=True)
    assert "not on the list" in page.text
    assert not Attendance.objects.exists()


def test_a_newcomer_answers_the_same_questions_and_starts_on_land(day, address):
    page = Client().post(f"{address}new/", {"name": "Nia New", "age": "adult"}, follow=True)
    assert "Welcome, Nia." in page.text
    assert Attendance.objects.get().in_water is False
    page = Client().post(f"{address}new/", {"name": "Kit New", "age": "minor"})
    assert "choose the guardian who came along" in page.text
    assert not Member.objects.filter(name="Kit New").exists()


def test_a_link_ends_with_the_day_and_when_it_is_revoked(client, day, address, time_machine):
    assert KioskLink.objects.get().digest not in address
    assert Client().get(address.replace("/at/", "/at/x")).status_code == 404
    time_machine.move_to(END + 6 * HOUR, tick=False)
    assert Client().get(address).status_code == 404
    time_machine.move_to(START + HOUR, tick=False)
    assert Client().get(address).status_code == 200
    links = reverse("fieldbook:kiosk_links", args=[day.group.slug, day.pk])
    client.post(links, {"revoke": KioskLink.objects.get().pk})
    assert Client().get(address).status_code == 404


def test_a_phone_that_is_signed_in_is_told_to_leave_the_account_first(client, address):
    sentence = "This phone is signed in to an account"
    assert sentence not in Client().get(address).text
    page = client.get(address)
    assert sentence in page.text
    logout = re.search(r'href="(/accounts/logout/[^"]+)"', page.text)[1]
    page = client.post(logout, follow=True)
    assert page.redirect_chain == [(address, 302)]
    assert sentence not in page.text
    assert "Find your name and press." in page.text
