"""Who leaves can be forgotten: nothing personal is left in any table, hours and stems stay under a code."""

import json
import uuid
from typing import Any

import pytest
from allauth.account.models import EmailAddress
from allauth.usersessions.models import UserSession
from django.db import connection
from django.urls import reverse

from reedcrew.fieldbook.models import Attendance, Incident, KioskLink, Load, PhoneOfDay, Submission, Tally
from reedcrew.grants.models import EarlierBatch, EarlierLine, Grant, HourEntry
from reedcrew.invites import choices
from reedcrew.invites.models import AddressFault, MailChoice, OutgoingMail
from reedcrew.people import errors
from reedcrew.people.held import held_on
from reedcrew.people.models import Account, Member, PrivateLook, Wish
from reedcrew.people.retention import keep_within_time
from reedcrew.people.roles import Role
from reedcrew.people.services import erase_account, erase_member, look_at_private, save_private
from tests.factories import END, NOW, START, account_of, make_child, make_group, make_member, make_survey
from tests.walk.rows import World, make_world

pytestmark = pytest.mark.django_db

NAME, ADDRESS, PHONE = "Quillon Reedmace", "quillon@mailbox.example", "+1 613 555 0177"
TRACES = ("Quillon", "Reedmace", ADDRESS, PHONE, "Marl Contact", "Wren Reedmace")


def write_all_over(world: World) -> Member:
    """Put somebody's name and address wherever the site keeps such things; returns the volunteer it is."""
    person = world.readers[Role.VOLUNTEER]
    account, organizer = account_of(person), world.readers[Role.ORGANIZER]
    Member.objects.filter(pk=person.pk).update(name=NAME)
    Account.objects.filter(pk=account.pk).update(email=ADDRESS)
    person.refresh_from_db()
    account = account_of(person)
    person.profile.phone = PHONE
    person.profile.save()
    EmailAddress.objects.create(user=account, email=ADDRESS, primary=True, verified=True)
    UserSession.objects.create(user=account, session_key="k" * 32, ip="192.0.2.7", user_agent="Quillon’s phone")
    save_private(
        member=person, emergency_name="Marl Contact", emergency_phone=PHONE, health_note="", actor=account, now=NOW
    )
    look_at_private(member=person, by=organizer, now=NOW, why=f"to call {NAME}")
    Wish.objects.create(member=organizer, other=person, kind=Wish.Kind.APART)
    make_child(person, name="Wren Reedmace")
    make_survey(world.stand, {}, counted_by=f"{NAME} and a neighbour")
    AddressFault.objects.create(address=ADDRESS, status="5.1.1", reason=f"<{ADDRESS}> unknown", at=NOW)
    choices.choose(account=account, kind=MailChoice.Kind.THANKS, wanted=False, now=NOW)
    OutgoingMail.objects.filter(sign_up__member=person).update(
        to_address=ADDRESS, raw=f"To: {ADDRESS}".encode(), subject=f"{NAME}, come at nine", state="sent"
    )
    HourEntry.objects.create(
        group=world.group,
        member=person,
        day=world.day,
        stand=world.stand,
        date=START.date(),
        started_at=START,
        ended_at=END,
        minutes=240,
        reason=f"{NAME} stayed longer",
        entered_by=account_of(organizer),
        entered_at=NOW,
    )
    write_in_the_field(world, person)
    write_in_grants(world, person)
    return person


def write_in_the_field(world: World, person: Member) -> None:
    """Have the crew lead's and the person's phones name the person, in the open and encrypted."""
    lead = account_of(world.readers[Role.CREW_LEAD])
    phone = PhoneOfDay.objects.create(
        day=world.day, key=uuid.uuid4(), name="Quillon’s phone", account=account_of(person), first_at=NOW, last_at=NOW
    )
    told = {
        "name": NAME,
        "email": ADDRESS,
        "adult": True,
        "guardian": None,
        "born_on": "1990-02-03",
        "consent": False,
        "emergency_name": "Marl Contact",
        "emergency_phone": PHONE,
    }
    sent: dict[Submission.Kind, dict[str, Any]] = {
        Submission.Kind.WALK_UP: {"private": json.dumps(told), "member": person},
        Submission.Kind.NOTE: {"private": json.dumps({"text": f"{NAME} left early"})},
        Submission.Kind.STRIKE: {"data": {"entry": str(uuid.uuid4()), "reason": f"{NAME} miscounted"}},
        Submission.Kind.WATER_IN: {"values": {"names": [NAME]}, "settled_note": f"{NAME} was on land"},
    }
    for kind, said in sent.items():
        Submission.objects.create(
            day=world.day,
            entry_id=uuid.uuid4(),
            digest=kind.value,
            phone=phone,
            author=lead,
            kind=kind,
            at=NOW,
            received_at=NOW,
            **said,
        )
    Tally.objects.update(struck_at=NOW, struck_by=lead, struck_reason=f"{NAME} counted them twice")
    Load.objects.update(place=f"behind the car of {NAME}")
    Incident.objects.create(
        day=world.day,
        kind=Incident.Kind.INJURY,
        happened_at=NOW,
        what=f"{NAME} slipped",
        entered_by=lead,
        entered_at=NOW,
    )


def write_in_grants(world: World, person: Member) -> None:
    """Have earlier seasons and a grant name the person."""
    batch = EarlierBatch.objects.get(group=world.group)
    of_batch = {"batch": batch, "group": world.group, "date": START.date(), "stand": world.stand, "minutes": 60}
    EarlierLine.objects.create(**of_batch, row=2, member=person, name="Quillon R.", code=person.code)
    EarlierLine.objects.create(**of_batch, row=3, name=NAME, code="EARLIER1", note=f"{NAME} drove", stems=40)
    Grant.objects.filter(group=world.group).update(note=f"Ask {NAME} for the map")


def sent_in_private(kind: Submission.Kind) -> Any:
    return json.loads(Submission.objects.get(kind=kind).private)


def everything_in_the_database() -> str:
    """Every value of every column of every table, as text."""
    with connection.cursor() as cursor:
        values = []
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            values += [value for row in cursor.fetchall() for value in row]
    return "\n".join(
        bytes(value).decode("utf-8", "replace") if isinstance(value, bytes | memoryview) else str(value)
        for value in values
    )


def traces():
    kept = everything_in_the_database().lower()
    return [trace for trace in TRACES if trace.lower() in kept]


def test_after_an_account_is_erased_no_table_holds_the_name_or_the_address():
    world = make_world()
    person = write_all_over(world)
    account = account_of(person)
    assert traces() == ["Quillon", "Reedmace", ADDRESS, PHONE, "Wren Reedmace"]  # the contact is encrypted
    erase_account(account=account, now=NOW)
    # The cancellation of the coming day still waits; once it is sent, it goes too.
    OutgoingMail.objects.filter(state=OutgoingMail.State.WAITING).update(state=OutgoingMail.State.SENT)
    assert keep_within_time(group=world.group, now=NOW)["last mails to erased people"] > 0
    assert traces() == []
    person.refresh_from_db()
    assert person.name == person.code
    hours = HourEntry.objects.get(member=person)
    assert (hours.minutes, hours.reason) == (240, f"{person.code} stayed longer")
    newcomer = sent_in_private(Submission.Kind.WALK_UP)
    assert (newcomer["name"], newcomer["adult"]) == (person.code, True)
    assert {newcomer[each] for each in ("email", "born_on", "emergency_name", "emergency_phone")} == {"", None}
    assert sent_in_private(Submission.Kind.NOTE) == {"text": f"{person.code} left early"}
    assert Incident.objects.get().what == f"{NAME} slipped"  # encrypted, for those who may have to answer for it
    assert list(EarlierLine.objects.values_list("name", "minutes", "stems").order_by("row")) == [
        (person.code, 60, None),
        ("EARLIER1", 60, 40),
    ]
    account.refresh_from_db()
    assert not account.is_active
    erase_account(account=account, now=NOW)  # once more does no harm


def test_mails_that_wait_are_still_sent_before_they_go():
    world = make_world()
    person = write_all_over(world)
    erase_member(member=person, actor=account_of(person), now=NOW)
    waiting = OutgoingMail.objects.filter(sign_up__member=person)
    assert {mail.state for mail in waiting} == {OutgoingMail.State.WAITING}
    assert keep_within_time(group=world.group, now=NOW)["last mails to erased people"] == 0
    assert waiting.exists()


def test_other_people_and_their_rows_stay_as_they_are():
    world = make_world()
    person = write_all_over(world)
    before = Attendance.objects.count(), OutgoingMail.objects.exclude(sign_up__member=person).count()
    lead = world.readers[Role.CREW_LEAD]
    erase_account(account=account_of(person), now=NOW)
    lead.refresh_from_db()
    assert lead.name != lead.code
    assert (Attendance.objects.count(), OutgoingMail.objects.exclude(sign_up__member=person).count()) == before
    assert not PrivateLook.objects.filter(member=person).exists()


def test_the_last_organizer_cannot_be_erased_and_nothing_changes():
    organizer = make_member(make_group(), role=Role.ORGANIZER)
    with pytest.raises(errors.LastOrganizer):
        erase_account(account=account_of(organizer), now=NOW)
    organizer.refresh_from_db()
    assert organizer.left_at is None


def test_everything_held_is_in_the_file_and_nothing_that_is_another_persons():
    world = make_world()
    person = write_all_over(world)
    held = held_on(account_of(person), NOW)
    assert json.loads(json.dumps(held)) == held
    text = json.dumps(held, ensure_ascii=False)
    for told in (NAME, ADDRESS, PHONE, "Marl Contact", "Wren Reedmace", "stayed longer", "192.0.2.7"):
        assert told in text
    assert "people.Wish" not in held["tables"]  # that somebody asked to be kept apart is theirs alone
    assert account_of(world.readers[Role.ORGANIZER]).email not in text
    assert "k" * 32 not in text


def test_what_a_person_wrote_of_others_in_private_and_the_secret_of_a_link_are_not_in_their_file():
    world = make_world()
    write_all_over(world)
    held = held_on(account_of(world.readers[Role.CREW_LEAD]), NOW)
    assert {"fieldbook.Incident", "fieldbook.KioskLink", "fieldbook.Submission"} <= set(held["tables"])
    text = json.dumps(held, ensure_ascii=False)
    for kept in (f"{NAME} slipped", f"{NAME} left early", PHONE, ADDRESS, KioskLink.objects.get().digest):
        assert kept not in text


def test_the_file_goes_through_the_tables_of_every_app():
    tables = set(held_on(account_of(write_all_over(make_world())), NOW)["tables"])
    assert {"people.Account", "people.Member", "people.Profile", "people.PrivateRecord", "people.PrivateLook"} <= tables
    assert {"workdays.SignUp", "crews.Assignment", "grants.HourEntry", "account.EmailAddress"} <= tables
    assert {"invites.OutgoingMail", "invites.IncomingMail", "invites.CalendarEntry", "invites.AddressFault"} <= tables


# --- Pages -----------------------------------------------------------------------------------------------------------
def test_a_person_downloads_their_data_and_leaves_for_good(client):
    world = make_world()
    person = write_all_over(world)
    client.force_login(account_of(person))
    page = client.get(reverse("people:data"))
    assert page.status_code == 200
    file = client.get(reverse("people:data_file"))
    assert file["Content-Disposition"] == 'attachment; filename="my-data.json"'
    assert file["Cache-Control"] == "private, no-store"
    assert json.loads(file.content)["account"] == ADDRESS
    unsure = client.post(reverse("people:erase"))
    assert "sure" in unsure.context["form"].errors
    assert client.post(reverse("people:erase"), {"sure": "on"}).status_code == 302
    assert client.get(reverse("people:profile")).status_code == 302  # signed out
    assert Member.objects.get(pk=person.pk).name == person.code


def test_the_last_organizer_is_told_what_to_do_first(client):
    organizer = make_member(make_group(), role=Role.ORGANIZER)
    client.force_login(account_of(organizer))
    answer = client.post(reverse("people:erase"), {"sure": "on"})
    assert answer.status_code == 200
    assert "Make another person an organizer first" in answer.text


def test_leaving_one_group_may_erase_what_it_knows_and_leaves_the_other_as_it_is(client):
    group = make_group()
    organizer, person = make_member(group, role=Role.ORGANIZER), make_member(group, name=NAME)
    elsewhere = make_member(make_group(), account=person.account, name=NAME)
    client.force_login(organizer.account)
    answer = client.post(reverse("people:leave", args=[group.slug, person.pk]), {"erase": "on"})
    assert answer.status_code == 302
    person.refresh_from_db()
    elsewhere.refresh_from_db()
    assert (person.name, person.account) == (person.code, None)
    assert (elsewhere.name, elsewhere.left_at) == (NAME, None)
