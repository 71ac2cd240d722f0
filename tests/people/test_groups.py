"""Founding and describing groups, and their rules."""

import dataclasses
import datetime

import pytest
from django.urls import reverse

from reedcrew.people import signals
from reedcrew.people.errors import RuleValueUnfit, TooManyGroups
from reedcrew.people.models import AuditEntry, Group, Member, PolicyChange
from reedcrew.people.policy import RULES, change_policy, policy_of
from reedcrew.people.queries import rules_of
from reedcrew.people.roles import Role
from reedcrew.people.services import found_group
from reedcrew.people.services.groups import GROUPS_A_DAY
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.policy_ranges import RANGES
from reedcrew.trade.season import MonthDay
from tests.factories import NOW, account_of, make_account, make_group, make_member

pytestmark = pytest.mark.django_db

FOUNDING = {
    "name": "Willow Bend Reed Group",
    "contact_email": "days@willow.example",
    "about": "We cut on Saturdays.",
    "founder_name": "Ada Organizer",
    "adult": "on",
}


def found(name, actor=None):
    return found_group(
        name=name,
        contact_email="days@willow.example",
        about="",
        founder_name="Ada",
        actor=actor or make_account(),
        now=NOW,
    )


def test_anyone_who_is_signed_in_founds_a_group_and_becomes_its_organizer(client):
    account = make_account()
    client.force_login(account)
    answer = client.post(reverse("people:found"), FOUNDING)
    member = Member.objects.get(account=account)
    assert answer.url == member.group.get_absolute_url() == "/g/willow-bend-reed-group/"
    assert (member.role, member.name, member.profile.adult) == (Role.ORGANIZER, "Ada Organizer", True)
    assert client.get(answer.url).status_code == 200
    assert AuditEntry.objects.filter(group=member.group, deed="group founded", actor=account).exists()


@pytest.mark.parametrize(
    ("field", "value"), [("name", ""), ("contact_email", "nowhere"), ("founder_name", ""), ("adult", "")]
)
def test_a_founding_that_lacks_something_names_it_and_keeps_the_rest(client, field, value):
    client.force_login(make_account())
    answer = client.post(reverse("people:found"), FOUNDING | {field: value})
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == [field]
    assert "We cut on Saturdays." in answer.text
    assert not Group.objects.exists()


def test_pressing_found_twice_makes_one_group():
    account = make_account()
    assert found("Reed group", account) == found("reed GROUP", account)
    assert Group.objects.count() == 1


def test_more_groups_than_a_person_founds_in_a_day_wait_until_tomorrow():
    account = make_account()
    for number in range(GROUPS_A_DAY):
        found(f"Group {number}", account)
    with pytest.raises(TooManyGroups):
        found("One more", account)
    assert found("Group 0", account).group.name == "Group 0"  # the same again is no further one
    found("Somebody else's")
    AuditEntry.objects.filter(actor=account).update(at=NOW - datetime.timedelta(days=1))
    assert found("One more", account).group.slug == "one-more"


def test_groups_of_one_name_get_addresses_of_their_own():
    slugs = [found("Reed group").group.slug for _number in range(3)]
    assert slugs == ["reed-group", "reed-group-2", "reed-group-3"]


@pytest.mark.parametrize(
    ("name", "slug"), [("Röhricht & Ufer", "rohricht-ufer"), ("葦", "group"), ("x" * 80, "x" * 40)]
)
def test_any_name_makes_an_address(name, slug):
    assert found(name).group.slug == slug


def test_the_organizer_changes_the_description_and_a_volunteer_does_not(client):
    group = make_group()
    address = reverse("people:edit_group", args=[group.slug])
    fresh = {"name": "New name", "contact_email": "new@willow.example", "about": "Come along.", "language": "fr"}
    client.force_login(make_member(group).account)
    assert client.post(address, fresh).status_code == 403
    client.force_login(make_member(group, role=Role.ORGANIZER).account)
    assert client.post(address, fresh).status_code == 302
    slug = group.slug
    group.refresh_from_db()
    assert (group.name, group.contact_email, group.about, group.language, group.slug) == (*fresh.values(), slug)
    assert AuditEntry.objects.get(deed="group changed").detail == {
        "fields": ["about", "contact_email", "language", "name"]
    }


# --- Rules -----------------------------------------------------------------------------------------------------------
def test_every_value_of_the_policy_is_on_the_page_of_rules():
    assert [rule.name for rule in RULES] == [field.name for field in dataclasses.fields(Policy)]


def test_a_changed_value_holds_and_says_who_changed_it_and_when(client):
    group = make_group()
    organizer = make_member(group, role=Role.ORGANIZER, name="Ada Organizer")
    heard = []
    signals.policy_changed.connect(lambda **sent: heard.append(sent["group"]), weak=False, dispatch_uid="heard")
    try:
        policy = change_policy(group=group, actor=account_of(organizer), now=NOW, sun_days=21, water_days_min=1)
    finally:
        signals.policy_changed.disconnect(dispatch_uid="heard")
    assert heard == [group]
    assert policy == dataclasses.replace(DEFAULT_POLICY, sun_days=21) == policy_of(group)
    assert PolicyChange.objects.count() == 1  # one day was the default already
    state = {state.rule.name: state for state in rules_of(group)}["sun_days"]
    assert (state.default, state.value, state.changed_by, state.changed_at) == (14, 21, "Ada Organizer", NOW)
    client.force_login(make_member(group).account)
    page = client.get(reverse("people:rules", args=[group.slug])).text
    assert "21 days" in page
    assert "Ada Organizer" in page
    assert reverse("people:change_rules", args=[group.slug]) not in page


def test_the_latest_change_holds():
    group = make_group()
    for later, days in enumerate((21, 30, 14)):
        change_policy(group=group, actor=make_account(), now=NOW + datetime.timedelta(hours=later), sun_days=days)
    assert policy_of(group) == DEFAULT_POLICY
    assert PolicyChange.objects.count() == 3


def test_values_that_allow_more_than_the_default_are_marked():
    group = make_group()
    change_policy(
        group=group,
        actor=make_account(),
        now=NOW,
        minor_depth_cm_max=20,
        wading_depth_cm_max=110,
        wading_safety_factor=1.5,
        units_per_spotter=4,
        window_opens=MonthDay(7, 1),
        nest_check_until=MonthDay(8, 20),
    )
    assert {state.rule.name for state in rules_of(group) if state.bolder} == {
        "nest_check_until",
        "wading_depth_cm_max",
        "wading_safety_factor",
    }


def test_a_rule_outside_its_range_is_refused_by_name_and_an_unknown_one_is_a_mistake():
    group = make_group()
    with pytest.raises(RuleValueUnfit) as refused:
        change_policy(group=group, actor=make_account(), now=NOW, water_days_min=0)
    assert refused.value.field == "water_days_min"
    with pytest.raises(ValueError, match="no such rule: speed"):
        change_policy(group=group, actor=make_account(), now=NOW, speed=3)
    assert not PolicyChange.objects.exists()


def rules_as_posted(page, **changes):
    form = page.context["form"]
    posted = {"version": form.initial["version"]}
    for name, value in form.initial.items():
        if isinstance(value, MonthDay):
            posted |= {f"{name}_day": value.day, f"{name}_month": value.month}
        elif name != "version":
            posted[name] = value
    return posted | changes


def test_the_rules_form_saves_what_changed_and_names_what_is_out_of_range(client):
    group = make_group()
    client.force_login(make_member(group, role=Role.ORGANIZER).account)
    address = reverse("people:change_rules", args=[group.slug])
    page = client.get(address)
    assert '<option value="10" selected>October</option>' in page.text  # the last of the permitted weeks by default
    beyond = {name: span.high + 1 for name, span in RANGES.items()} | {"window_opens_day": 40}
    refused = client.post(address, rules_as_posted(page, **beyond))
    assert refused.status_code == 200
    assert set(refused.context["form"].errors) == {*RANGES, "window_opens"}
    assert not PolicyChange.objects.exists()

    changes = {"window_opens_day": 1, "window_opens_month": 8, "wading_stature_share": "0,45", "sun_days": 20}
    assert client.post(address, rules_as_posted(page, **changes)).status_code == 302
    assert policy_of(group) == dataclasses.replace(
        DEFAULT_POLICY, window_opens=MonthDay(8, 1), wading_stature_share=0.45, sun_days=20
    )
    assert PolicyChange.objects.count() == 3


def test_rules_that_somebody_else_changed_meanwhile_are_not_saved_over_unseen(client):
    group = make_group()
    client.force_login(make_member(group, role=Role.ORGANIZER).account)
    address = reverse("people:change_rules", args=[group.slug])
    opened = client.get(address)
    change_policy(group=group, actor=make_account("other@example.org"), now=NOW, sun_days=30)
    answer = client.post(address, rules_as_posted(opened))
    assert answer.status_code == 200
    assert "other@example.org" in answer.text
    assert policy_of(group).sun_days == 30
