"""The operators' page: who sees it, what it says is wrong, and that it tells nothing of a person."""

import datetime

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from reedcrew.api.models import Delivery, Event
from reedcrew.crews.models import PlanDue
from reedcrew.operation import queries
from reedcrew.operation.models import BackupRun, Heartbeat
from reedcrew.operation.tasks import beat
from reedcrew.people.roles import Role
from tests import factories
from tests.api.rows import make_webhook
from tests.operation.rows import make_mail

pytestmark = pytest.mark.django_db
PAGE = "/installation/"


@pytest.fixture
def operator(client):
    account = factories.make_account()
    call_command("operator", account.email)
    client.force_login(account)
    return account


def wrong(client):
    """The names of the parts that the page says are not well."""
    answer = client.get(PAGE)
    assert answer.status_code == 200
    return {str(part.name) for part in answer.context["state"].wrong}


def test_only_operators_find_the_page_whatever_they_are_in_a_group(client):
    answer = client.get(PAGE)
    assert (answer.status_code, answer.url) == (302, f"{reverse('account_request_login_code')}?next={PAGE}")
    account = factories.make_member(factories.make_group(), role=Role.ORGANIZER).account
    client.force_login(account)
    assert client.get(PAGE).status_code == 404
    assert PAGE not in client.get("/").text
    call_command("operator", account.email.upper())
    assert client.get(PAGE).status_code == 200
    assert PAGE in client.get("/").text
    call_command("operator", account.email, "--remove")
    assert client.get(PAGE).status_code == 404


def test_an_operator_must_have_signed_in_once():
    with pytest.raises(CommandError, match=r"Nobody has signed in as new@example\.org yet"):
        call_command("operator", "new@example.org")


def test_a_new_installation_says_what_never_ran_and_one_that_is_kept_is_well(client, operator):
    assert wrong(client) == {"Beat and worker", "Backup"}
    beat()
    now = timezone.now()
    BackupRun.objects.create(started_at=now, finished_at=now, file_name="reedcrew.age", octets=2**20)
    assert wrong(client) == set()
    assert "Every part does its work." in client.get(PAGE).text


def test_what_stands_still_is_named_with_what_to_do(client, operator):
    now = timezone.now()
    late = now - datetime.timedelta(hours=48)
    day = factories.make_day(factories.make_stand(factories.make_group(name="Heron Bay reed group")))
    Heartbeat.objects.create(name=Heartbeat.CHAIN, at=late)
    BackupRun.objects.create(started_at=late, finished_at=late, file_name="old.age")
    BackupRun.objects.create(started_at=now, finished_at=now, file_name="new.age", fault="No space left on device")
    PlanDue.objects.create(day=day, since=late)
    make_mail(day.group, next_try_at=late, tries=3, last_error="SMTPAuthenticationError: 535 no")
    make_mail(day.group, state="refused", last_error="SMTPRecipientsRefused: 550 5.1.1 ada.marsh@mailbox.example")
    assert wrong(client) == {"Beat and worker", "Backup", "Plans", "Outbox", "Refused mail"}
    page = client.get(PAGE).text
    for told in ("bash deploy/backup.sh", "No space left on device", "Heron Bay reed group", "mailbox.example"):
        assert told in page
    assert "does not accept our sign-in" in page
    for secret in ("ada.marsh", "neighbour", "Ada Marsh"):
        assert secret not in page


def test_messages_to_webhooks_that_wait_or_were_given_up_are_told_without_the_secret_in_an_address(client, operator):
    now = timezone.now()
    webhook = make_webhook(factories.make_group(name="Heron Bay reed group"), "https://map.example/in?key=whisper")
    given_up = {"state": Delivery.State.GIVEN_UP, "tries": 8, "fault": "certificate"}
    for fields in ({"next_try_at": now + datetime.timedelta(hours=1)}, {"next_try_at": now, **given_up}):
        Delivery.objects.create(webhook=webhook, event=Event.TRIAL, body="{}", made_at=now, **fields)
    assert "Webhooks" not in wrong(client)
    page = client.get(PAGE).text
    assert "Messages that wait to be sent: 1. Given up in the last month: 1." in page
    for told in ("Heron Bay reed group", "map.example", "The certificate of the other program does not hold."):
        assert told in page
    assert "whisper" not in page
    Delivery.objects.filter(state=Delivery.State.WAITING).update(next_try_at=now - datetime.timedelta(hours=1))
    assert "Webhooks" in wrong(client)
    webhook.paused_at = now
    webhook.save()
    assert "Webhooks" not in wrong(client)


def test_many_mails_take_no_more_queries(client, operator, count_queries):
    group = factories.make_group()
    make_mail(group, state="refused", last_error="550")
    client.get(PAGE)  # the first page of a session notes the session
    few = count_queries(lambda: client.get(PAGE))
    for _ in range(queries.FAULTY_MAILS + 5):
        make_mail(factories.make_group(), state="refused", last_error="550")
    assert count_queries(lambda: client.get(PAGE)) == few
    assert len(client.get(PAGE).context["state"].faulty_mails) == queries.FAULTY_MAILS
