"""The people of a group: who comes in, who leaves, who may what."""

import datetime
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.people import errors, signals
from reedcrew.people.models import Account, AuditEntry, Member, PrivateRecord
from reedcrew.people.queries import may_edit_person, may_take_out
from reedcrew.people.roles import Role
from reedcrew.people.services import add_child, add_member, join_group, leave, set_standing
from tests.factories import NOW, account_of, make_account, make_child, make_group, make_member

pytestmark = pytest.mark.django_db


def join(group, account, **changes):
    facts = {"name": "Nia Neighbour", "adult": True, "born_on": None, **changes}
    return join_group(group=group, account=account, now=NOW, **facts)


def stand(member, **changes):
    facts = {
        "role": Role(member.role),
        "trained_lead": member.trained_lead,
        "earlier_water_days": member.profile.earlier_water_days,
        "guardian": member.guardian,
        **changes,
    }
    return set_standing(member=member, actor=make_account(), now=NOW, **facts)


# --- Joining ---------------------------------------------------------------------------------------------------------
def test_who_signs_up_for_the_first_time_becomes_a_volunteer_with_profile_and_private_record():
    group, account = make_group(), make_account()
    heard = []
    signals.member_joined.connect(lambda **sent: heard.append(sent["member"]), weak=False, dispatch_uid="heard")
    try:
        member = join(group, account)
    finally:
        signals.member_joined.disconnect(dispatch_uid="heard")
    assert heard == [member]
    assert (member.role, member.name, member.group, member.account) == ("volunteer", "Nia Neighbour", group, account)
    assert member.profile.adult
    assert member.private.emergency_phone == ""


def test_joining_twice_changes_nothing():
    group = make_group()
    organizer = make_member(group, role=Role.ORGANIZER, name="Ada")
    assert join(group, organizer.account) == organizer
    organizer.refresh_from_db()
    assert (organizer.name, organizer.role) == ("Ada", Role.ORGANIZER)
    assert Member.objects.count() == 1


def test_who_comes_back_keeps_their_history_but_not_their_old_role():
    group = make_group()
    make_member(group, role=Role.ORGANIZER)
    lead = make_member(group, role=Role.CREW_LEAD, trained_lead=True, profile={"earlier_water_days": 4})
    leave(member=lead, actor=account_of(lead), now=NOW)
    again = join(group, lead.account)
    assert again.pk == lead.pk
    assert (again.role, again.trained_lead, again.left_at) == (Role.VOLUNTEER, False, None)
    assert again.profile.earlier_water_days == 4


@pytest.mark.parametrize(
    ("adult", "born_on", "counts_as_adult"),
    [
        (True, None, True),
        (False, None, False),
        (False, datetime.date(2008, 8, 10), True),  # 18 on the day itself
        (False, datetime.date(2008, 8, 11), False),
        (True, datetime.date(1980, 1, 1), True),
    ],
)
def test_the_date_of_birth_decides_who_is_an_adult_and_unknown_is_under_18(adult, born_on, counts_as_adult):
    member = join(make_group(), make_account(), adult=adult, born_on=born_on)
    assert member.profile.adult is member.profile.adult_on(NOW.date()) is counts_as_adult


@pytest.mark.parametrize(
    ("adult", "born_on", "refusal"),
    [
        (True, datetime.date(2010, 1, 1), errors.AgeContradicts),
        (False, datetime.date(2026, 8, 11), errors.BirthDateImpossible),
        (False, datetime.date(1890, 1, 1), errors.BirthDateImpossible),
    ],
)
def test_ages_that_contradict_themselves_are_refused(adult, born_on, refusal):
    with pytest.raises(refusal):
        join(make_group(), make_account(), adult=adult, born_on=born_on)
    assert not Member.objects.exists()


# --- Adding ----------------------------------------------------------------------------------------------------------
def test_the_organizer_adds_a_person_by_address_who_can_then_sign_in(client):
    group = make_group()
    client.force_login(make_member(group, role=Role.ORGANIZER).account)
    address = reverse("people:add_member", args=[group.slug])
    posted = {"name": "Cora Lead", "email": "Cora@Example.org", "role": "crew_lead", "adult": "on"}
    assert client.post(address, posted).status_code == 302
    member = Member.objects.get(account__email="cora@example.org")
    assert (member.name, member.role, member.profile.adult) == ("Cora Lead", Role.CREW_LEAD, True)
    repeated = client.post(address, posted)
    assert repeated.status_code == 200
    assert "Cora Lead, who is in the group already" in repeated.text


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"email": "nowhere"}, "email"),
        ({"role": "captain"}, "role"),
        ({"role": "organizer", "adult": ""}, "role"),
        ({"role": "crew_lead", "email": ""}, "email"),
    ],
)
def test_adding_somebody_names_what_does_not_fit_and_keeps_the_rest(client, changes, field):
    group = make_group()
    client.force_login(make_member(group, role=Role.ORGANIZER).account)
    posted = {"name": "Cora Lead", "email": "cora@example.org", "role": "volunteer", "adult": "on", **changes}
    answer = client.post(reverse("people:add_member", args=[group.slug]), posted)
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == [field]
    assert Member.objects.count() == 1
    assert not Account.objects.filter(email="cora@example.org").exists()


def test_a_person_without_an_address_is_entered_once_and_kept_by_organizers():
    group = make_group()
    organizer = make_member(group, role=Role.ORGANIZER)
    facts: dict[str, Any] = {
        "group": group,
        "email": "",
        "role": Role.VOLUNTEER,
        "adult": True,
        "actor": organizer.account,
        "now": NOW,
    }
    member = add_member(name="Otto Old", **facts)
    assert member.account is None
    assert may_edit_person(member, organizer)
    with pytest.raises(errors.NameTaken):
        add_member(name="otto old", **facts)


# --- Children --------------------------------------------------------------------------------------------------------
def test_a_guardian_enters_a_child_with_consent_that_is_recorded(client):
    group = make_group()
    guardian = make_member(group)
    client.force_login(guardian.account)
    address = reverse("people:add_child", args=[group.slug])
    posted = {"name": "Kim Child", "born_on": "2014-03-01", "consent": "on"}
    assert client.post(address, posted).status_code == 302
    client.post(address, posted)
    child = guardian.children.get()
    assert (child.account, child.role, child.profile.adult) == (None, Role.VOLUNTEER, False)
    assert child.profile.born_on == datetime.date(2014, 3, 1)
    consent = AuditEntry.objects.get(deed="guardian agreed")
    assert (consent.actor, consent.subject) == (guardian.account, f"people.Member:{child.pk}")


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"consent": ""}, "consent"), ({"born_on": ""}, "born_on"), ({"born_on": "1990-01-01"}, "born_on")],
)
def test_a_child_without_consent_or_of_age_is_not_entered(client, changes, field):
    guardian = make_member(make_group())
    client.force_login(guardian.account)
    posted = {"name": "Kim Child", "born_on": "2014-03-01", "consent": "on", **changes}
    answer = client.post(reverse("people:add_child", args=[guardian.group.slug]), posted)
    assert list(answer.context["form"].errors) == [field]
    assert not guardian.children.exists()


def test_somebody_under_18_is_no_guardian():
    minor = make_member(make_group(), profile={"adult": False})
    with pytest.raises(errors.GuardianUnfit):
        add_child(
            guardian=minor,
            name="Kim",
            born_on=datetime.date(2014, 3, 1),
            consent=True,
            actor=account_of(minor),
            now=NOW,
        )


# --- Standing --------------------------------------------------------------------------------------------------------
def test_the_organizer_gives_a_role_and_confirms_experience(client):
    group = make_group()
    person = make_member(group)
    address = reverse("people:standing", args=[group.slug, person.pk])
    posted = {"role": "crew_lead", "trained_lead": "on", "earlier_water_days": "7"}
    client.force_login(make_member(group, role=Role.COORDINATOR).account)
    forbidden = client.post(address, posted)
    assert forbidden.status_code == 403
    assert f'href="{group.get_absolute_url()}"' in forbidden.text.split("<main")[1]
    client.force_login(make_member(group, role=Role.ORGANIZER).account)
    assert client.post(address, posted).status_code == 302
    person = Member.objects.select_related("profile").get(pk=person.pk)
    assert (person.role, person.trained_lead, person.profile.earlier_water_days) == (Role.CREW_LEAD, True, 7)
    assert AuditEntry.objects.get(deed="standing changed").detail == {
        "role": "crew_lead",
        "trained_lead": True,
        "earlier_water_days": 7,
    }


def test_a_group_always_keeps_an_organizer(client):
    group = make_group()
    only = make_member(group, role=Role.ORGANIZER)
    make_member(make_group(), role=Role.ORGANIZER)
    with pytest.raises(errors.LastOrganizer):
        stand(only, role=Role.VOLUNTEER)
    with pytest.raises(errors.LastOrganizer):
        leave(member=only, actor=account_of(only), now=NOW)
    client.force_login(only.account)
    answer = client.post(reverse("people:leave", args=[group.slug, only.pk]))
    assert answer.status_code == 409
    assert "only organizer" in answer.text
    assert f'href="{group.get_absolute_url()}"' in answer.text.split("<main")[1]
    second = make_member(group, role=Role.ORGANIZER)
    leave(member=only, actor=account_of(only), now=NOW)
    with pytest.raises(errors.LastOrganizer):
        stand(second, role=Role.CREW_LEAD)


def test_an_organizer_who_may_not_sign_in_does_not_count():
    group = make_group()
    first, second = make_member(group, role=Role.ORGANIZER), make_member(group, role=Role.ORGANIZER)
    Account.objects.filter(pk=account_of(second).pk).update(is_active=False)
    with pytest.raises(errors.LastOrganizer):
        stand(first, role=Role.VOLUNTEER)


@pytest.mark.parametrize("changes", [{"role": Role.CREW_LEAD}, {"role": Role.ORGANIZER}, {"trained_lead": True}])
def test_somebody_under_18_gets_no_role_that_answers_for_others(changes):
    minor = make_member(make_group(), profile={"adult": False})
    with pytest.raises((errors.RoleNeedsAdult, errors.LeadNeedsAdult)):
        stand(minor, **changes)


def test_only_an_adult_of_the_same_group_becomes_a_guardian():
    group = make_group()
    minor = make_member(group, profile={"adult": False})
    adult = make_member(group)
    unfit = [minor, make_member(group, profile={"adult": False}), make_member(make_group()), make_child(adult)]
    for guardian in unfit:
        with pytest.raises(errors.GuardianUnfit):
            stand(minor, guardian=guardian)
    assert stand(minor, guardian=adult).guardian == adult
    with pytest.raises(errors.ChildNeedsGuardian):
        stand(make_child(adult), guardian=None)


# --- Leaving ---------------------------------------------------------------------------------------------------------
def test_who_leaves_takes_their_children_along_and_their_private_record_is_erased():
    group = make_group()
    guardian = make_member(group)
    child = make_child(guardian)
    PrivateRecord.objects.filter(member=guardian).update(emergency_phone="+1 613 555 0142", health_note="bee stings")
    heard = []
    signals.member_left.connect(lambda **sent: heard.append(sent["member"]), weak=False, dispatch_uid="heard")
    try:
        assert leave(member=guardian, actor=account_of(guardian), now=NOW) == (guardian, child)
        assert leave(member=guardian, actor=account_of(guardian), now=NOW) == ()
    finally:
        signals.member_left.disconnect(dispatch_uid="heard")
    assert heard == [guardian, child]
    assert not Member.objects.current().exists()
    private = PrivateRecord.objects.get(member=guardian)
    assert (private.emergency_phone, private.health_note) == ("", "")


def test_oneself_ones_children_and_for_organizers_everyone_may_be_taken_out(client):
    group = make_group()
    organizer, guardian, other = make_member(group, role=Role.ORGANIZER), make_member(group), make_member(group)
    child = make_child(guardian)
    assert may_take_out(child, guardian)
    assert may_take_out(other, organizer)
    assert not may_take_out(child, other)
    client.force_login(other.account)
    assert client.post(reverse("people:leave", args=[group.slug, guardian.pk])).status_code == 404
    assert client.get(reverse("people:leave", args=[group.slug, other.pk])).status_code == 200
    assert client.post(reverse("people:leave", args=[group.slug, other.pk])).url == reverse("people:home")
    assert set(Member.objects.current()) == {organizer, guardian, child}


# --- Pages -----------------------------------------------------------------------------------------------------------
def test_the_list_finds_people_by_parts_of_their_names(client):
    group = make_group()
    client.force_login(make_member(group, role=Role.COORDINATOR, name="Cleo Coordinator").account)
    for name in ("Anna Berg", "Anton Berger", "Bea Tal"):
        make_member(group, name=name)
    make_member(make_group(), name="Anna Elsewhere")
    address = reverse("people:members", args=[group.slug])
    found = client.get(address, {"q": "an berg"}).context["people"]
    assert [facts.member.name for facts in found] == ["Anna Berg", "Anton Berger"]
    assert len(client.get(address).context["people"]) == 4
    assert "“Zed”" in client.get(address, {"q": "Zed"}).text


@pytest.mark.parametrize("page", ["members", "wishes"])
def test_lists_of_people_take_as_many_queries_for_300_as_for_20(client, page):
    group = make_group()
    organizer = make_member(group, role=Role.ORGANIZER)
    client.force_login(organizer.account)
    keys = [organizer.pk] if page == "wishes" else []
    address = reverse(f"people:{page}", args=[group.slug, *keys])

    def add(number):
        for _index in range(number):
            make_child(make_member(group, profile={"water_ready": True}))

    add(10)
    client.get(address)
    counted = count_queries(client, address)
    add(140)
    assert count_queries(client, address) == counted


def count_queries(client, address):
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


def test_pages_of_the_list_follow_each_other(client):
    group = make_group()
    client.force_login(make_member(group, role=Role.ORGANIZER, name="Zoe").account)
    for number in range(60):
        make_member(group, name=f"Person {number:03}")
    second = client.get(reverse("people:members", args=[group.slug]), {"page": 2})
    assert [facts.member.name for facts in second.context["people"]][-1] == "Zoe"
    assert len(second.context["people"]) == 11


def test_a_volunteer_opens_their_own_page_and_their_childs_but_nobody_elses(client):
    group = make_group()
    guardian, other = make_member(group), make_member(group)
    child = make_child(guardian)
    client.force_login(guardian.account)
    codes = {
        person: client.get(reverse("people:member", args=[group.slug, person.pk])).status_code
        for person in (guardian, child, other)
    }
    assert codes == {guardian: 200, child: 200, other: 404}
    client.force_login(make_member(group, role=Role.COORDINATOR).account)
    assert client.get(reverse("people:member", args=[group.slug, other.pk])).status_code == 200


def test_measures_are_shown_only_to_those_who_plan_with_them(client):
    group = make_group()
    person = make_member(group, profile={"stature_cm": 187})
    address = reverse("people:member", args=[group.slug, person.pk])
    shown = {}
    for role in (Role.ORGANIZER, Role.CREW_LEAD, Role.COORDINATOR):
        client.force_login(make_member(group, role=role).account)
        shown[role] = "187\N{NO-BREAK SPACE}cm" in client.get(address).text
    assert shown == {Role.ORGANIZER: True, Role.CREW_LEAD: True, Role.COORDINATOR: False}
