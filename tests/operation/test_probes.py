"""What machines are told: alive, ready, and the numbers; each only what is so, to whom it may concern."""

import datetime

import pytest
from celery import Celery
from django.db import DatabaseError, connection
from django.utils import timezone
from prometheus_client.parser import text_string_to_metric_families

from reedcrew.celery import app
from reedcrew.crews.models import PlanDue
from reedcrew.invites.models import IncomingMail
from reedcrew.operation.models import BackupRun
from reedcrew.operation.tasks import beat
from tests import factories
from tests.operation.rows import make_mail
from tests.services import free_port

pytestmark = pytest.mark.django_db
TOKEN = "a token of forty random characters, or so"


@pytest.fixture
def broker_that_is_away():
    """The application of the process with a Redis that nobody runs."""
    away = Celery("reedcrew-away", broker=f"redis://127.0.0.1:{free_port()}/0", set_as_current=False)
    away.conf.broker_transport_options = {"max_retries": 0, "socket_connect_timeout": 2}  # as in the settings
    away.set_default()
    away.set_current()
    yield
    app.set_default()
    app.set_current()
    away.close()


@pytest.fixture
def hosted(settings):
    """Names and https of a hosted site, which no probe knows."""
    settings.ALLOWED_HOSTS, settings.SECURE_SSL_REDIRECT = ["days.example"], True


def test_a_process_says_that_it_lives_without_asking_the_database(client, hosted, django_assert_num_queries):
    with django_assert_num_queries(0):
        answer = client.get("/healthz", SERVER_NAME="10.0.0.7")
    assert (answer.status_code, answer.json()) == (200, {"status": "alive"})
    assert answer["Cache-Control"] == "no-store"
    assert client.post("/healthz", SERVER_NAME="10.0.0.7").status_code == 405


def test_a_process_whose_parts_all_answer_is_ready(client, hosted):
    answer = client.get("/readyz", SERVER_NAME="10.0.0.7")
    assert answer.json() == {
        "status": "ready",
        "parts": {"database": "ok", "migrations": "ok", "broker": "ok"},
    }
    assert answer.status_code == 200


def test_tables_older_than_the_code_are_not_ready(client, settings):
    settings.MIGRATION_MODULES = {}  # the migrations themselves, none of which this database has seen
    answer = client.get("/readyz")
    assert answer.status_code == 503
    told = answer.json()["parts"]
    assert (told["database"], told["broker"]) == ("ok", "ok")
    assert int(told["migrations"].removesuffix(" not applied")) >= len(settings.INSTALLED_APPS) / 2


def test_a_database_that_is_away_is_named_and_its_place_is_not(client, monkeypatch):
    away = {"NAME": "/no such folder/secret.sqlite3", "HOST": "127.0.0.1", "PORT": str(free_port())}
    for name, value in away.items():
        monkeypatch.setitem(connection.settings_dict, name, value)
    answer = client.get("/readyz")
    assert (answer.status_code, answer.json()["parts"]["broker"]) == (503, "ok")
    assert answer.json()["parts"]["database"] == answer.json()["parts"]["migrations"] == "does not answer"
    assert "secret" not in answer.content.decode()


def test_a_broker_that_is_away_is_named(client, broker_that_is_away):
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["parts"] == {"database": "ok", "migrations": "ok", "broker": "does not answer"}


# --- numbers --------------------------------------------------------------------------------------------------------


def numbers(client, **headers):
    """The metrics by name and labels, as the reader of the Prometheus client library takes them."""
    answer = client.get("/metrics", REMOTE_ADDR="127.0.0.1", **headers)
    assert answer.status_code == 200
    families = text_string_to_metric_families(answer.content.decode())
    return {(s.name, *sorted(s.labels.values())): s.value for family in families for s in family.samples}


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({"REMOTE_ADDR": "127.0.0.1"}, 200),
        ({"REMOTE_ADDR": "::1"}, 200),
        ({"REMOTE_ADDR": "203.0.113.9"}, 404),
        ({"REMOTE_ADDR": ""}, 404),  # of a socket file, behind which a proxy stands
        ({"REMOTE_ADDR": "127.0.0.1", "HTTP_X_FORWARDED_FOR": "203.0.113.9"}, 404),
        ({"REMOTE_ADDR": "127.0.0.1", "HTTP_FORWARDED": "for=203.0.113.9"}, 404),
        ({"REMOTE_ADDR": "203.0.113.9", "HTTP_AUTHORIZATION": f"Bearer {TOKEN}"}, 200),
        ({"REMOTE_ADDR": "203.0.113.9", "HTTP_AUTHORIZATION": "Bearer "}, 404),
        ({"REMOTE_ADDR": "203.0.113.9", "HTTP_AUTHORIZATION": TOKEN}, 404),
    ],
)
def test_the_numbers_are_for_this_machine_and_for_the_token(client, settings, asked, status):
    settings.METRICS_TOKEN = TOKEN
    assert client.get("/metrics", **asked).status_code == status


def test_without_a_token_in_the_settings_none_opens(client, settings):
    settings.METRICS_TOKEN = ""
    for told in ("Bearer ", "Bearer", ""):
        assert client.get("/metrics", REMOTE_ADDR="203.0.113.9", HTTP_AUTHORIZATION=told).status_code == 404


def test_requests_are_counted_by_view_and_answer(client):
    before = numbers(client)

    def more(*key):
        return numbers(client)[key] - before.get(key, 0)

    client.get("/")
    client.get("/no-such-page/")
    client.get("/g/no-such-group/")
    assert more("reedcrew_requests_total", "200", "people:home") == 1
    assert more("reedcrew_requests_total", "404", "none") == 1
    assert more("reedcrew_requests_total", "302", "people:group") == 1
    assert more("reedcrew_request_seconds_count", "people:home") == 1


def test_rows_that_wait_are_counted_with_the_age_of_the_oldest(client, settings):
    day = factories.make_day(factories.make_stand(factories.make_group()))
    now = timezone.now()
    for state, minutes in (("waiting", 30), ("waiting", 10), ("waiting", -60), ("refused", 90)):
        make_mail(day.group, state=state, next_try_at=now - datetime.timedelta(minutes=minutes))
    IncomingMail.objects.create(kind="personal", outcome="kept", received_at=now, digest="1", raw=b"")
    PlanDue.objects.create(day=day, since=now)
    beat()
    found = numbers(client)
    assert found["reedcrew_outbox_mails", "waiting"] == 3
    assert found["reedcrew_outbox_mails", "refused"] == 1
    assert found["reedcrew_outbox_mails", "sent"] == 0
    assert 1800 <= found[("reedcrew_outbox_oldest_waiting_seconds",)] < 1860
    assert found["reedcrew_inbox_mails", "kept"] == 1
    assert found[("reedcrew_plans_due",)] == 1
    assert found[("reedcrew_beat_last_timestamp_seconds",)] == pytest.approx(now.timestamp(), abs=60)
    assert ("reedcrew_backup_last_timestamp_seconds",) not in found
    BackupRun.objects.create(started_at=now, finished_at=now, file_name="a.age", octets=700)
    BackupRun.objects.create(started_at=now, finished_at=now, file_name="b.age", fault="The disk is full.")
    found = numbers(client)
    assert found[("reedcrew_backup_last_timestamp_seconds",)] == pytest.approx(now.timestamp(), abs=1)
    assert found[("reedcrew_backup_last_octets",)] == 700


def test_without_database_and_broker_the_numbers_say_so(client, broker_that_is_away):
    assert numbers(client)[("reedcrew_broker_up",)] == 0
    with connection.execute_wrapper(refuse_queries):
        found = numbers(client)
    assert found[("reedcrew_database_up",)] == 0
    assert ("reedcrew_outbox_mails", "waiting") not in found


def refuse_queries(execute, sql, params, many, context):
    raise DatabaseError("the database is away")
