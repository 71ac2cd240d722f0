"""The profile form, through its page."""

import datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from reedcrew.people import errors, signals
from reedcrew.people.forms.profile import ProfileForm
from reedcrew.people.models import AuditEntry, Member, Profile
from reedcrew.people.queries import Water, facts_of
from reedcrew.people.roles import Role
from reedcrew.people.services import Measures, ProfileAnswers, save_profile
from reedcrew.people.words import TOO_LIGHT, jacket_bands
from reedcrew.trade.items import Item
from tests.factories import NOW, account_of, make_account, make_child, make_group, make_member

pytestmark = pytest.mark.django_db

BASICS = {"name": "Nia Neighbour", "adult": "on", "languages": ["en", "fr"], "other_language": "sw"}
MEASURES = {
    "water_asked": "True",
    "stature_cm": "171",
    "body_mass": "adult",
    "boot_size": "42.5",
    "boot_scale": "EU",
    "hand_size": "204",
    "hand_scale": "mm",
}


def address(member, page="edit_profile"):
    return reverse(f"people:{page}", args=[member.group.slug, member.pk])


def fresh(member):
    return Member.objects.select_related("profile").get(pk=member.pk)


def send(client, member, **posted):
    client.force_login(member.account)
    return client.post(address(member), {key: value for key, value in posted.items() if value is not None})


def test_a_profile_is_saved_with_what_was_told_and_nothing_else_is_required(client):
    member = make_member(make_group(), profile={"languages": []})
    answer = send(
        client,
        member,
        **BASICS,
        phone="+1 613 555 0142",
        first_aid_until="2027-05-01",
        own_gear=["gloves", "boots"],
    )
    assert answer.url == address(member, "member")
    profile = fresh(member).profile
    assert fresh(member).name == "Nia Neighbour"
    assert profile.languages == ["en", "fr", "sw"]
    assert (profile.phone, profile.first_aid_until) == ("+1 613 555 0142", datetime.date(2027, 5, 1))
    assert profile.own_gear == sorted([Item.GLOVES.value, Item.BOOTS.value])
    assert AuditEntry.objects.get(deed="profile changed").detail == {
        "fields": ["first_aid_until", "languages", "own_gear", "phone", "name"]
    }
    assert send(client, make_member(make_group()), name="Only a name").status_code == 302


def test_measures_are_asked_only_of_people_who_want_to_work_in_water(client):
    member = make_member(make_group())
    client.force_login(member.account)
    assert "stature_cm" not in client.get(address(member)).text
    first = send(client, member, **BASICS, water_ready="on")
    assert first.url == address(member)
    assert fresh(member).profile.languages == ["en", "fr", "sw"]  # the first step is saved
    second = client.get(first.url)
    for name in ("stature_cm", "body_mass", "boot_size", "hand_size"):
        assert f'name="{name}"' in second.text
    last = send(client, member, **BASICS, water_ready="on", **MEASURES)
    assert last.url == address(member, "member")
    member = fresh(member)
    assert (member.profile.stature_cm, member.profile.jacket_class) == (171, "adult")
    assert (member.profile.boot_eu, member.profile.hand_mm) == (Decimal("42.5"), 204)
    assert facts_of(member, NOW.date(), member).water is Water.READY


def test_taking_back_the_wish_for_water_keeps_what_was_measured(client):
    member = make_member(make_group(), profile={"water_ready": True, "stature_cm": 180})
    assert send(client, member, **BASICS).status_code == 302
    assert (fresh(member).profile.water_ready, fresh(member).profile.stature_cm) == (False, 180)


@pytest.mark.parametrize(
    ("size", "scale", "eu"),
    [
        # check-values.md, section 5: public pages that cite ISO 19407; waders round up (convention there).
        ("6", "UK", "39"),  # 245.53 mm, EU 38.8
        ("10", "UK", "44"),  # 279.4 mm, EU 43.9
        ("10.5", "US women", "41.5"),  # UK 8, 262.5 mm, EU 41.4
        ("9", "US men", "41.5"),  # the same foot
        ("42,5", "EU", "42.5"),
        ("42.2", "EU", "42.5"),
    ],
)
def test_boot_sizes_of_every_scale_are_kept_as_eu_half_sizes_rounded_up(client, size, scale, eu):
    member = make_member(make_group(), profile={"water_ready": True})
    send(client, member, **BASICS, water_ready="on", **{**MEASURES, "boot_size": size, "boot_scale": scale})
    assert fresh(member).profile.boot_eu == Decimal(eu)


@pytest.mark.parametrize(
    ("size", "scale", "mm"),
    [
        ("8", "glove", 203),
        ("10", "glove", 254),
        ("6", "glove", 152),
        ("210", "mm", 210),
    ],  # EN 420:2003, check-values.md
)
def test_glove_sizes_and_circumferences_are_kept_in_mm(client, size, scale, mm):
    member = make_member(make_group(), profile={"water_ready": True})
    send(client, member, **BASICS, water_ready="on", **{**MEASURES, "hand_size": size, "hand_scale": scale})
    assert fresh(member).profile.hand_mm == mm


def test_the_bands_of_body_mass_are_those_of_life_jackets():
    # 46 CFR 160.047-2 and 160.060-2 by check-values.md: 90 lb = 40.8 kg, 50 lb = 22.7 kg; 13.6 kg from memory there.
    assert dict(jacket_bands()) == {
        "adult": "over 40.8 kg",
        "youth": "from 22.7 kg to 40.8 kg",
        "child": "from 13.6 kg to under 22.7 kg",
        TOO_LIGHT: "under 13.6 kg",
    }


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"phone": "call me"}, "phone"),
        ({"languages": ["xx"]}, "languages"),
        ({"first_aid_until": "soon"}, "first_aid_until"),
        ({"own_gear": ["shade"]}, "own_gear"),
        ({"stature_cm": "17"}, "stature_cm"),
        ({"stature_cm": "tall"}, "stature_cm"),
        ({"body_mass": "heavy"}, "body_mass"),
        ({"body_mass": TOO_LIGHT}, "body_mass"),
        ({"boot_size": "12"}, "boot_size"),
        ({"boot_size": "30", "boot_scale": "UK"}, "boot_size"),
        ({"boot_scale": "Mars"}, "boot_scale"),
        ({"hand_size": "9"}, "hand_size"),
        ({"hand_size": "20", "hand_scale": "glove"}, "hand_size"),
        ({"hand_size": "8.5", "hand_scale": "glove"}, "hand_size"),
    ],
)
def test_what_cannot_be_right_is_named_at_its_field_and_nothing_is_lost(client, changes, field):
    member = make_member(make_group(), profile={"water_ready": True}, name="Before")
    answer = send(client, member, **{**BASICS, "water_ready": "on", **MEASURES, "phone": "613 555 0142", **changes})
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == [field]
    assert fresh(member).name == "Before"
    if field != "phone":
        assert "613 555 0142" in answer.text


def test_the_message_for_a_size_says_what_would_be_right_on_its_scale(client):
    member = make_member(make_group(), profile={"water_ready": True})
    answer = send(client, member, **{**BASICS, "water_ready": "on", **MEASURES, "boot_size": "30", "boot_scale": "UK"})
    low, high = (eu * 20 / 3 - 40 / 3 for eu in (20, 55))  # mm, by EU = foot / 6.6667 + 2
    lowest, highest = -(-(3 * low / 25.4 - 23) // 1), (3 * high / 25.4 - 23) // 1
    assert f"from {lowest:.0f} to {highest:.0f} (UK)" in answer.text


# --- Under 18 --------------------------------------------------------------------------------------------------------
def test_somebody_under_18_without_a_guardian_cannot_ask_for_water(client):
    member = make_member(make_group(), profile={"adult": False})
    answer = send(client, member, **{**BASICS, "adult": None, "water_ready": "on"})
    assert list(answer.context["form"].errors) == ["water_ready"]
    assert "under 18" in answer.text
    assert not fresh(member).profile.water_ready


def test_a_child_beside_its_guardian_can(client):
    guardian = make_member(make_group())
    child = make_child(guardian)
    client.force_login(guardian.account)
    posted = {"name": "Kim", "born_on": "2013-05-04", "languages": ["en"], "water_ready": "on"}
    assert client.post(address(child), posted).status_code == 302
    assert fresh(child).profile.water_ready
    assert not fresh(child).profile.adult


def test_a_childs_date_of_birth_stays_required(client):
    guardian = make_member(make_group())
    client.force_login(guardian.account)
    answer = client.post(address(make_child(guardian)), {"name": "Kim"})
    assert list(answer.context["form"].errors) == ["born_on"]


def test_an_organizer_who_takes_back_being_18_is_told_of_the_role(client):
    member = make_member(make_group(), role=Role.ORGANIZER)
    answer = send(client, member, name="Ada")
    assert "is a role for people of 18 or older" in answer.text
    assert fresh(member).profile.adult


def test_a_date_of_birth_overrules_a_tick():
    member = make_member(make_group())
    with pytest.raises(errors.AgeContradicts):
        save_profile(
            member=member,
            answers=ProfileAnswers(name="Nia", adult=True, born_on=datetime.date(2012, 1, 1)),
            actor=account_of(member),
            now=NOW,
        )


# --- Who may, and who hears ------------------------------------------------------------------------------------------
def test_a_profile_is_edited_by_its_person_the_guardian_and_for_people_without_account_the_organizer(client):
    group = make_group()
    organizer, guardian, other = make_member(group, role=Role.ORGANIZER), make_member(group), make_member(group)
    people = {"child": make_child(guardian), "no account": make_member(group, account=None), "other": other}
    opened = {}
    for name, reader in (("organizer", organizer), ("guardian", guardian), ("other", other)):
        client.force_login(reader.account)
        opened[name] = {who for who, person in people.items() if client.get(address(person)).status_code == 200}
        for person in people.values():
            assert client.post(address(person), {}).status_code in {200, 404}
    assert opened == {"organizer": {"no account"}, "guardian": {"child"}, "other": {"other"}}


def test_plans_hear_of_a_changed_profile_and_not_of_one_saved_unchanged():
    member = make_member(make_group(), name="Nia")
    answers = ProfileAnswers(
        name="Nia", adult=True, languages=frozenset({"en"}), water_ready=True, measures=Measures(stature_cm=170)
    )
    heard = []
    signals.member_changed.connect(lambda **sent: heard.append(sent["member"]), weak=False, dispatch_uid="heard")
    try:
        for _time in range(2):
            save_profile(member=member, answers=answers, actor=make_account(), now=NOW)
    finally:
        signals.member_changed.disconnect(dispatch_uid="heard")
    assert heard == [member]


def test_every_field_says_why_it_is_asked():
    member = make_member(make_group(), profile={"water_ready": True})
    fields = ProfileForm(member=member).visible_fields()
    told = {field.name for field in fields if field.help_text}
    assert {field.name for field in fields} - told == {"hand_scale"}  # the unit of the field before it


def test_an_unsaved_form_shows_what_is_stored():
    stored = {
        "water_ready": True,
        "stature_cm": 180,
        "jacket_class": "adult",
        "boot_eu": Decimal("42.5"),
        "hand_mm": 220,
    }
    member = make_member(make_group(), profile=stored)
    page = str(ProfileForm(member=member))
    for value in ("180", "42.5", "220"):
        assert f'value="{value}"' in page
    assert Profile.objects.get(member=member).boot_eu == Decimal("42.5")
