"""Emergency contacts and health notes: encrypted, opened to few, each look recorded."""

import datetime
from pathlib import Path

import pytest
from cryptography.fernet import Fernet, InvalidToken
from django.db import connection
from django.urls import reverse

import reedcrew
from reedcrew.people import errors
from reedcrew.people.models import AuditEntry, PrivateLook, PrivateRecord
from reedcrew.people.queries import LedDay, may_see_private
from reedcrew.people.roles import Role
from reedcrew.people.services import look_at_private, look_at_private_of_day, save_private
from tests.factories import NOW, START, make_child, make_group, make_member

pytestmark = pytest.mark.django_db

TOLD = {"emergency_name": "Mo Contact", "emergency_phone": "+1 613 555 0142", "health_note": "allergic to bee stings"}
DATE = START.date()


def tell(member, **changes):
    return save_private(member=member, **{**TOLD, **changes}, actor=member.mail_account, now=NOW)


def led(*people, offset=0):
    """The day of DATE as its lead sees it so many days from it."""
    today = DATE + datetime.timedelta(days=offset)
    return LedDay(date=DATE, today=today, people=frozenset(person.pk for person in people))


def raw_columns():
    with connection.cursor() as cursor:
        cursor.execute("SELECT emergency_name, emergency_phone, health_note FROM people_privaterecord")
        return cursor.fetchall()


# --- At rest ---------------------------------------------------------------------------------------------------------
def test_the_database_holds_no_plain_text():
    tell(make_member(make_group()))
    ((name, phone, note),) = raw_columns()
    stored = " ".join((name, phone, note))
    for text in ("Mo Contact", "Contact", "613 555", "allergic", "bee stings"):  # too long to arise by chance
        assert text not in stored
    assert PrivateRecord.objects.get().health_note == TOLD["health_note"]


def test_nothing_told_is_stored_as_nothing():
    tell(make_member(make_group()), health_note="")
    assert raw_columns()[0][2] == ""


def test_a_new_key_encrypts_and_the_old_one_still_decrypts(settings):
    old, new = Fernet.generate_key().decode(), Fernet.generate_key().decode()
    member = make_member(make_group())
    settings.FIELD_KEYS = [old]
    tell(member)
    settings.FIELD_KEYS = [new, old]
    assert PrivateRecord.objects.get().health_note == TOLD["health_note"]
    tell(member, health_note="none")
    settings.FIELD_KEYS = [new]
    assert PrivateRecord.objects.get().health_note == "none"
    settings.FIELD_KEYS = [old]
    with pytest.raises(InvalidToken):
        PrivateRecord.objects.get()


def test_the_record_of_deeds_holds_nothing_of_it():
    tell(make_member(make_group()))
    entry = AuditEntry.objects.get()
    assert (entry.deed, entry.detail) == ("private record changed", {})


# --- Who may look ----------------------------------------------------------------------------------------------------
def test_organizers_of_the_group_look_at_any_time_and_nobody_else_without_a_day():
    group = make_group()
    person = make_member(group)
    readers = {role: make_member(group, role=role) for role in Role}
    may = {role: may_see_private(person, reader) for role, reader in readers.items()}
    assert may == {Role.ORGANIZER: True, Role.COORDINATOR: False, Role.CREW_LEAD: False, Role.VOLUNTEER: False}
    assert not may_see_private(person, make_member(make_group(), role=Role.ORGANIZER))


@pytest.mark.parametrize(("offset", "allowed"), [(-2, False), (-1, True), (0, True), (1, True), (2, False)])
def test_the_days_lead_looks_from_the_day_before_to_the_day_after(offset, allowed):
    group = make_group()
    person, lead = make_member(group), make_member(group, role=Role.CREW_LEAD)
    assert may_see_private(person, lead, led(person, offset=offset)) is allowed


def test_the_days_lead_sees_the_people_of_that_day_only():
    group, elsewhere = make_group(), make_group()
    lead, absent = make_member(group, role=Role.CREW_LEAD), make_member(group)
    stranger = make_member(elsewhere)
    assert not may_see_private(absent, lead, led(make_member(group)))
    assert not may_see_private(stranger, lead, led(stranger))
    assert not may_see_private(absent, make_member(group), led(absent))


def test_each_look_is_recorded_and_shown_to_the_person(client):
    group = make_group()
    person, organizer = make_member(group), make_member(group, role=Role.ORGANIZER, name="Ada Organizer")
    tell(person)
    private = look_at_private(member=person, by=organizer, now=NOW, why="  a fall at the landing ")
    assert private.emergency_phone == TOLD["emergency_phone"]
    look = PrivateLook.objects.get()
    assert (look.member, look.by, look.at, look.why) == (person, organizer.account, NOW, "a fall at the landing")
    client.force_login(person.account)
    page = client.get(reverse("people:profile")).text
    assert "a fall at the landing" in page
    assert "Ada Organizer" in page
    client.force_login(organizer.account)
    assert "a fall at the landing" not in client.get(reverse("people:profile")).text


def test_a_guardian_sees_the_looks_at_their_child(client):
    guardian = make_member(make_group())
    child = make_child(guardian)
    look_at_private(member=child, by=make_member(guardian.group, role=Role.ORGANIZER), now=NOW, why="lost at lunch")
    client.force_login(guardian.account)
    assert "lost at lunch" in client.get(reverse("people:profile")).text


def test_a_refused_look_leaves_no_record_and_opens_nothing():
    group = make_group()
    person, lead = make_member(group), make_member(group, role=Role.CREW_LEAD)
    with pytest.raises(errors.PrivateClosed):
        look_at_private(member=person, by=lead, now=NOW, why="curious", led_day=led(person, offset=3))
    with pytest.raises(errors.ReasonForLookNeeded):
        look_at_private(member=person, by=lead, now=NOW, why="  ", led_day=led(person))
    assert not PrivateLook.objects.exists()


def test_the_lead_opens_a_whole_day_with_one_record_for_each_person():
    group = make_group()
    lead = make_member(group, role=Role.CREW_LEAD)
    people = [make_member(group, name=name) for name in ("Cleo", "Anna", "Bea")]
    opened = look_at_private_of_day(by=lead, led_day=led(*people, lead), now=NOW, why="the day's sheet")
    assert [record.member.name for record in opened if record.member != lead] == ["Anna", "Bea", "Cleo"]
    assert set(PrivateLook.objects.values_list("member", flat=True)) == {person.pk for person in people}
    with pytest.raises(errors.PrivateClosed):
        look_at_private_of_day(by=lead, led_day=led(*people, offset=-2), now=NOW, why="early")


# --- Pages -----------------------------------------------------------------------------------------------------------
def test_the_organizer_gives_a_reason_before_the_page_opens(client):
    group = make_group()
    person, organizer = make_member(group), make_member(group, role=Role.ORGANIZER)
    tell(person)
    address = reverse("people:private", args=[group.slug, person.pk])
    client.force_login(organizer.account)
    assert "bee stings" not in client.get(address).text
    assert "bee stings" not in client.post(address, {"why": ""}).text
    assert not PrivateLook.objects.exists()
    opened = client.post(address, {"why": "preparing the day"})
    assert "allergic to bee stings" in opened.text
    assert opened["Cache-Control"] == "no-store"
    assert PrivateLook.objects.get().why == "preparing the day"
    for role in (Role.CREW_LEAD, Role.COORDINATOR, Role.VOLUNTEER):
        client.force_login(make_member(group, role=role).account)
        assert client.post(address, {"why": "curious"}).status_code == 403


def test_people_keep_their_own_without_a_recorded_look(client):
    member = make_member(make_group())
    client.force_login(member.account)
    address = reverse("people:emergency", args=[member.group.slug, member.pk])
    assert client.post(address, TOLD).status_code == 302
    page = client.get(address)
    assert "allergic to bee stings" in page.text
    assert page["Cache-Control"] == "no-store"
    assert not PrivateLook.objects.exists()


def test_an_organizer_who_keeps_it_for_a_person_without_account_leaves_a_look(client):
    group = make_group()
    person, organizer = make_member(group, account=None), make_member(group, role=Role.ORGANIZER)
    client.force_login(organizer.account)
    assert client.get(reverse("people:emergency", args=[group.slug, person.pk])).status_code == 200
    assert PrivateLook.objects.get().member == person
    with_account = make_member(group)
    assert client.get(reverse("people:emergency", args=[group.slug, with_account.pk])).status_code == 404


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"emergency_phone": ""}, "emergency_phone"),
        ({"emergency_name": ""}, "emergency_name"),
        ({"emergency_phone": "ask Mo"}, "emergency_phone"),
        ({"health_note": "x" * 1001}, "health_note"),
    ],
)
def test_a_contact_that_cannot_be_called_is_sent_back_with_what_was_entered(client, changes, field):
    member = make_member(make_group())
    client.force_login(member.account)
    answer = client.post(reverse("people:emergency", args=[member.group.slug, member.pk]), {**TOLD, **changes})
    assert list(answer.context["form"].errors) == [field]
    assert raw_columns() == [("", "", "")]


def test_no_other_app_reads_the_records_past_the_recorded_look():
    root = Path(reedcrew.__file__).parent
    sources = [path for path in root.rglob("*.py") if "people" not in path.relative_to(root).parts]
    assert len(sources) > 50
    for path in sources:
        text = path.read_text()
        assert "PrivateRecord" not in text, path
        assert "private_records_for" not in text, path
