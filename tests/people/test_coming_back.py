"""What a group knows of somebody's age and guardian survives their leaving and their guardian's."""

import datetime

import pytest

from reedcrew.people.errors import AgeContradicts, GuardianUnfit
from reedcrew.people.models import Member
from reedcrew.people.roles import Role
from reedcrew.people.services import join_group, leave, set_standing
from tests.factories import NOW, account_of, make_account, make_group, make_member

pytestmark = pytest.mark.django_db

BORN = datetime.date(2012, 5, 4)


def come_back(member, *, adult, now=NOW):
    leave(member=member, actor=account_of(member), now=now)
    return join_group(
        group=member.group, account=account_of(member), name="Back again", adult=adult, born_on=None, now=now
    )


def test_a_minor_who_comes_back_is_no_adult_by_saying_so():
    member = make_member(make_group(), profile={"adult": False, "born_on": BORN})
    with pytest.raises(AgeContradicts):
        come_back(member, adult=True)
    assert not Member.objects.current().filter(pk=member.pk).exists()


def test_somebody_who_comes_back_keeps_the_date_of_birth_that_the_group_knows():
    member = come_back(make_member(make_group(), profile={"adult": False, "born_on": BORN}), adult=False)
    member.profile.refresh_from_db()
    assert member.profile.born_on == BORN
    assert not member.profile.adult_on(NOW.date())


def test_a_minor_who_came_of_age_meanwhile_comes_back_as_an_adult():
    member = make_member(make_group(), profile={"adult": False, "born_on": BORN})
    later = NOW.replace(year=2031)
    member = come_back(member, adult=True, now=later)
    member.profile.refresh_from_db()
    assert member.profile.adult_on(later.date())


def decided(member):
    return set_standing(
        member=member,
        role=Role.COORDINATOR if member.profile.adult else Role.VOLUNTEER,
        trained_lead=False,
        earlier_water_days=2,
        guardian=member.guardian,
        actor=make_account(),
        now=NOW,
    )


def test_a_grown_child_whose_guardian_left_can_still_be_given_a_role():
    group = make_group()
    guardian = make_member(group)
    grown = make_member(group, guardian=guardian)
    leave(member=guardian, actor=account_of(guardian), now=NOW)
    grown.refresh_from_db()
    assert decided(grown).role == Role.COORDINATOR


def test_a_minor_does_not_keep_a_guardian_who_left():
    group = make_group()
    guardian = make_member(group)
    minor = make_member(group, guardian=guardian, profile={"adult": False, "born_on": BORN})
    leave(member=guardian, actor=account_of(guardian), now=NOW)
    minor.refresh_from_db()
    with pytest.raises(GuardianUnfit):
        decided(minor)
