"""Whoever is on site is found on the sign-in page, and no child is there without their guardian (design, H3)."""

import datetime
import uuid

import pytest
from django.urls import reverse

from reedcrew.fieldbook import errors, services
from reedcrew.fieldbook.models import Attendance, Tally
from reedcrew.people.roles import Role
from reedcrew.people.services import leave as leave_group
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import END, START

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def lead(group):
    return factories.make_member(group, role=Role.ORGANIZER).account


@pytest.fixture
def day(group) -> WorkDay:
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand)


@pytest.fixture
def family(group, day):
    """A guardian and their child, both with a place."""
    guardian = factories.make_member(group)
    child = factories.make_child(guardian)
    for member in (guardian, child):
        factories.make_sign_up(day, member)
    return guardian, child


def arrive(day, member, lead, *, at=START, in_water=False) -> Attendance:
    return services.sign_in(day=day, member=member, in_water=in_water, at=at, actor=lead, now=at)


def test_nobody_gives_up_their_place_while_they_are_on_site(day, family, lead):
    guardian, _child = family
    stay = arrive(day, guardian, lead)
    with pytest.raises(errors.StillOnSite, match=guardian.name):
        workdays.withdraw(sign_up=SignUp.objects.get(member=guardian), actor=guardian.account, now=START)
    assert SignUp.objects.confirmed().filter(member=guardian).exists()
    services.sign_out(attendance=stay, at=START + HOUR, actor=lead, now=START + HOUR)
    workdays.withdraw(sign_up=SignUp.objects.get(member=guardian), actor=guardian.account, now=START + HOUR)
    assert not SignUp.objects.active().filter(member=guardian).exists()


def test_nobody_leaves_the_group_while_they_are_on_site(day, family, lead):
    guardian, _child = family
    arrive(day, guardian, lead)
    with pytest.raises(errors.StillOnSite):
        leave_group(member=guardian, actor=guardian.account, now=START)
    guardian.refresh_from_db()
    assert guardian.left_at is None


def test_a_day_is_not_cancelled_while_somebody_is_on_site(client, day, group, family, lead):
    guardian, _child = family
    arrive(day, guardian, lead)
    with pytest.raises(errors.PeopleOnSite, match=guardian.name):
        workdays.cancel_day(day=day, reason="storm", actor=lead, now=START)
    day.refresh_from_db()
    assert day.is_open
    client.force_login(lead)
    page = client.post(reverse("workdays:cancel_day", args=[group.slug, day.pk]), {"reason": "A storm comes"})
    assert "Still signed in" in page.content.decode()
    assert "A storm comes" in page.content.decode()


def test_a_child_is_in_water_only_while_the_guardian_is(day, family, lead):
    guardian, child = family
    arrive(day, guardian, lead, in_water=False)
    with pytest.raises(errors.GuardianNotInWater):
        arrive(day, child, lead, in_water=True)
    assert arrive(day, child, lead, in_water=False).in_water is False


def test_a_child_may_be_in_water_beside_the_guardian(day, family, lead):
    guardian, child = family
    arrive(day, guardian, lead, in_water=True)
    assert arrive(day, child, lead, in_water=True).in_water


def test_a_guardian_is_not_struck_out_while_the_child_is_on_site(day, family, lead):
    guardian, child = family
    stay = arrive(day, guardian, lead)
    theirs = arrive(day, child, lead)
    with pytest.raises(errors.ChildrenOnSite, match=child.name):
        services.strike(entry=stay, reason="was somebody else", actor=lead, now=START)
    services.strike(entry=theirs, reason="was somebody else", actor=lead, now=START)
    services.strike(entry=stay, reason="was somebody else", actor=lead, now=START)
    assert not Attendance.objects.on_site().exists()


def test_a_stay_that_was_struck_out_meanwhile_is_not_signed_out(client, day, group, family, lead):
    stay = arrive(day, family[0], lead)
    services.strike(entry=stay, reason="was somebody else", actor=lead, now=START)
    with pytest.raises(errors.EntryStruck):
        services.sign_out(attendance=stay, at=END, actor=lead, now=END)
    client.force_login(lead)
    page = client.post(reverse("fieldbook:sign_out", args=[group.slug, day.pk, stay.pk]), follow=True)
    assert "struck out meanwhile" in page.content.decode()


def test_a_press_that_comes_days_later_asks_for_the_time(day, family, lead):
    guardian, child = family
    later = END + datetime.timedelta(days=3)
    with pytest.raises(errors.TooLate):
        arrive(day, child, lead, at=later)
    stay = arrive(day, guardian, lead)
    with pytest.raises(errors.TooLate):
        services.sign_out(attendance=stay, at=later, actor=lead, now=later)
    out = services.sign_out(attendance=stay, at=END + services.TAKES_UNTIL, actor=lead, now=later)
    assert out.signed_out_at == END + services.TAKES_UNTIL


@pytest.mark.parametrize("digits", [400, 5000])
def test_a_sample_of_endless_digits_is_asked_back(client, day, group, lead, digits):
    client.force_login(lead)
    sent = {
        "zone": day.zones.get().pk,
        "method": Tally.Method.BUNDLES,
        "bundles": "3",
        "sample": "9" * digits,
        "entry_id": uuid.uuid4(),
    }
    page = client.post(reverse("fieldbook:stems", args=[group.slug, day.pk]), sent)
    assert page.status_code == 200
    assert "Write whole numbers" in page.content.decode()
    assert not Tally.objects.exists()
