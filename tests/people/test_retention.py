"""Nothing personal is kept longer than the group's rules say, and nothing is taken before."""

import datetime

import pytest
from cryptography.fernet import Fernet
from django.core.management import CommandError, call_command
from django.db import connection

from reedcrew.invites.models import IncomingMail, OutgoingMail
from reedcrew.people.models import AuditEntry, PrivateLook, PrivateRecord
from reedcrew.people.policy import change_policy
from reedcrew.people.retention import keep_within_time
from reedcrew.people.roles import Role
from reedcrew.people.services import look_at_private, save_private
from reedcrew.people.tasks import keep_data_within_time
from tests.factories import END, NOW, START, account_of, make_day, make_group, make_member, make_sign_up, make_stand
from tests.walk.rows import make_world

pytestmark = pytest.mark.django_db

YEAR = datetime.timedelta(days=366)
TOLD = {"emergency_name": "Mo Contact", "emergency_phone": "+1 613 555 0142", "health_note": "bee stings"}


def tell(member):
    return save_private(member=member, **TOLD, actor=account_of(member), now=NOW)


def health_note(member):
    return PrivateRecord.objects.get(member=member).health_note


@pytest.mark.parametrize(("years_ago", "kept"), [(1, True), (3, False)])
def test_private_records_are_emptied_two_years_after_the_last_day(years_ago, kept):
    group = make_group()
    person = make_member(group, joined_at=NOW - 5 * YEAR)
    day = make_day(make_stand(group), starts_at=START - years_ago * YEAR, ends_at=END - years_ago * YEAR)
    make_sign_up(day, person)
    tell(person)
    assert keep_within_time(group=group, now=NOW)["private records"] == (0 if kept else 1)
    assert health_note(person) == (TOLD["health_note"] if kept else "")
    assert AuditEntry.objects.filter(deed="private record ran out").count() == (0 if kept else 1)
    assert keep_within_time(group=group, now=NOW)["private records"] == 0


def test_who_joined_lately_or_signed_up_again_keeps_theirs():
    group = make_group()
    new, back = make_member(group, joined_at=NOW - YEAR), make_member(group, joined_at=NOW - 5 * YEAR)
    make_sign_up(make_day(make_stand(group)), back)
    for person in (new, back):
        tell(person)
    keep_within_time(group=group, now=NOW)
    assert (health_note(new), health_note(back)) == (TOLD["health_note"], TOLD["health_note"])


def test_a_group_may_keep_less_long_and_other_groups_are_not_touched():
    group, other = make_group(), make_group()
    people = [make_member(each, joined_at=NOW - 5 * YEAR) for each in (group, other)]
    organizer = make_member(group, role=Role.ORGANIZER)
    for person in people:
        tell(person)
    change_policy(group=group, actor=account_of(organizer), now=NOW, private_months=6)
    keep_within_time(group=group, now=NOW)
    assert [health_note(person) for person in people] == ["", TOLD["health_note"]]


def test_old_looks_and_old_mails_go_and_mail_that_waits_stays():
    world = make_world()
    person, organizer = world.readers[Role.VOLUNTEER], world.readers[Role.ORGANIZER]
    for years in (4, 1):
        look_at_private(member=person, by=organizer, now=NOW - years * YEAR, why="a call")
    waiting = OutgoingMail.objects.filter(state=OutgoingMail.State.WAITING).count()
    sent = OutgoingMail.objects.order_by("pk").first()
    sent.state = OutgoingMail.State.SENT
    sent.save()
    later = NOW + 3 * YEAR
    keep_within_time(group=world.group, now=NOW)
    assert (PrivateLook.objects.count(), OutgoingMail.objects.count()) == (1, waiting)
    keep_within_time(group=world.group, now=later)
    assert (PrivateLook.objects.count(), OutgoingMail.objects.count(), IncomingMail.objects.count()) == (
        0,
        waiting - 1,
        0,
    )


def test_the_task_goes_through_all_groups():
    person = make_member(make_group(), joined_at=NOW - 5 * YEAR)
    tell(person)
    keep_data_within_time()
    assert health_note(person) == ""


# --- Keys ------------------------------------------------------------------------------------------------------------
def stored_notes():
    with connection.cursor() as cursor:
        cursor.execute("SELECT health_note FROM people_privaterecord ORDER BY id")
        return [note for (note,) in cursor.fetchall()]


def test_after_encrypting_anew_the_old_key_is_not_needed(settings, capsys):
    old, new = Fernet.generate_key().decode(), Fernet.generate_key().decode()
    settings.FIELD_KEYS = [old]
    group = make_group()
    people = [make_member(group), make_member(group)]
    tell(people[0])
    before = stored_notes()
    settings.FIELD_KEYS = [new, old]
    call_command("reencrypt")
    assert capsys.readouterr().out.startswith("2 rows are encrypted with the first key")
    settings.FIELD_KEYS = [new]
    assert [health_note(person) for person in people] == [TOLD["health_note"], ""]
    assert stored_notes()[0] != before[0]


def test_a_row_of_an_unknown_key_stops_it_with_what_to_do(settings):
    tell(make_member(make_group()))
    settings.FIELD_KEYS = [Fernet.generate_key().decode()]
    with pytest.raises(CommandError, match="Add that key at the end"):
        call_command("reencrypt")
