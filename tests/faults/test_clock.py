"""The clock set back an hour, in the process of the test: no other process can be given a clock without special rights.
Every task of beat, pages and services run before, in the repeated hour and after it.
"""

import datetime
from collections import Counter
from collections.abc import Iterator
from email import message_from_bytes

import pytest
import time_machine
from django.conf import settings
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from reedcrew.celery import app
from reedcrew.fieldbook import services as fieldbook
from reedcrew.fieldbook.errors import OutBeforeIn
from reedcrew.grants.models import HourEntry
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.roles import Role
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import END, START

pytestmark = [pytest.mark.django_db, pytest.mark.once]

AN_HOUR, A_MINUTE = datetime.timedelta(hours=1), datetime.timedelta(minutes=1)
EVENING_BEFORE = datetime.datetime(2026, 8, 14, 22, 0, tzinfo=datetime.UTC)  # 18:00 in Toronto: reminders
PEOPLE = 4


@pytest.fixture
def clock() -> Iterator[time_machine.Traveller]:
    """A clock that stands at ten minutes before the reminders."""
    with time_machine.travel(EVENING_BEFORE - 10 * A_MINUTE, tick=False) as stands:
        yield stands


@pytest.fixture
def day() -> WorkDay:
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    return factories.make_day(stand, land_places=PEOPLE)


def run_all_tasks() -> None:
    """Everything that beat sends, here and now, and once more: what one task wrote another sends."""
    app.loader.import_default_modules()  # where tasks are defined, as a worker does it
    for each in [*settings.CELERY_BEAT_SCHEDULE.values()] * 2:
        app.tasks[str(each["task"])]()


def sign_up(day: WorkDay) -> SignUp:
    member = factories.make_member(day.group)
    return workdays.sign_up(day=day, member=member, place="land", actor=member.account, now=timezone.now()).sign_up


def counted() -> dict[str, int]:
    """How many mails of each kind have left, and AssertionError where one of them left twice."""
    ids = [message_from_bytes(sent.message().as_bytes())["Message-ID"] for sent in mail.outbox]
    assert len(ids) == len(set(ids))
    sent = OutgoingMail.objects.filter(state=OutgoingMail.State.SENT)
    assert sent.count() == len(ids)
    return dict(Counter(sent.values_list("kind", flat=True)))


def test_an_hour_that_comes_twice_sends_no_mail_twice_and_loses_no_reminder(
    clock: time_machine.Traveller, day: WorkDay
) -> None:
    for _ in range(PEOPLE - 1):
        sign_up(day)
    run_all_tasks()
    before = counted()
    assert sum(before.values()) == PEOPLE - 1

    clock.shift(-AN_HOUR)  # before the reminders were written
    run_all_tasks()
    late = sign_up(day)
    run_all_tasks()  # who signs up in the repeated hour is told in it
    assert OutgoingMail.objects.get(sign_up=late).state == OutgoingMail.State.SENT
    clock.move_to(EVENING_BEFORE)
    run_all_tasks()
    reminded = counted()
    assert reminded["reminder"] == PEOPLE

    clock.shift(-AN_HOUR)  # after they were written
    run_all_tasks()
    clock.move_to(EVENING_BEFORE + A_MINUTE)
    run_all_tasks()
    assert counted() == reminded


def test_an_hour_that_comes_twice_leaves_sessions_and_hours_as_they_are(
    clock: time_machine.Traveller, day: WorkDay
) -> None:
    lead = factories.make_member(day.group, role=Role.CREW_LEAD)
    present = sign_up(day).member
    client = Client()
    client.force_login(lead.account)
    clock.move_to(START)
    stay = fieldbook.sign_in(day=day, member=present, in_water=False, at=START, actor=lead.account, now=START)

    clock.shift(-AN_HOUR)
    assert client.get(reverse("people:home")).status_code == 200
    run_all_tasks()
    with pytest.raises(OutBeforeIn):  # a sentence, and nothing changed: never a stay that ends before it began
        fieldbook.sign_out(attendance=stay, at=timezone.now(), actor=lead.account, now=timezone.now())
    clock.move_to(END)
    fieldbook.sign_out(attendance=stay, at=END, actor=lead.account, now=END)
    fieldbook.close(day=day, actor=lead.account, now=END)

    clock.shift(-AN_HOUR)
    run_all_tasks()
    assert client.get(reverse("people:home")).status_code == 200
    assert [line.minutes for line in HourEntry.objects.filter(day=day)] == [(END - START) // A_MINUTE]
