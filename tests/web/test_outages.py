"""What counts as an outage, and what people see of one."""

import contextlib
import errno
import sqlite3

import psycopg
import pytest
from django.db import DatabaseError, IntegrityError, OperationalError, ProgrammingError, connection
from django.test import Client
from django.urls import reverse
from redis.exceptions import ConnectionError as RedisAway
from redis.exceptions import ResponseError

from reedcrew.web.outages import DiskFull, PartAway, outage_of
from tests.factories import make_account
from tests.services import free_port


def sqlite_says(statement: str) -> sqlite3.Error:
    database = sqlite3.connect(":memory:")
    database.execute("PRAGMA max_page_count = 1")
    with contextlib.closing(database), pytest.raises(sqlite3.Error) as caught:
        database.execute(statement)
    return caught.value


def django_says(cause: BaseException, kind: type[DatabaseError] = OperationalError) -> DatabaseError:
    """The cause as Django hands it on."""
    error = kind(str(cause))
    error.__cause__ = cause
    return error


@pytest.mark.parametrize(
    ("error", "outage"),
    [
        (django_says(sqlite_says("CREATE TABLE a (b)")), DiskFull),
        (django_says(sqlite_says("SELECT * FROM nowhere")), None),
        (django_says(psycopg.errors.DiskFull("no space left on device")), DiskFull),
        (django_says(psycopg.errors.AdminShutdown("terminating connection")), PartAway),
        (django_says(psycopg.errors.UndefinedTable("no such table"), ProgrammingError), None),
        (django_says(psycopg.errors.UniqueViolation("twice"), IntegrityError), None),
        (OSError(errno.ENOSPC, "No space left on device"), DiskFull),
        (OSError(errno.EACCES, "Permission denied"), None),
        (RedisAway("refused"), PartAway),
        (ResponseError("wrong type"), None),
        (ZeroDivisionError(), None),
    ],
    ids=lambda value: str(value)[:40],
)
def test_what_is_down_for_a_while_is_told_from_a_fault(error, outage):
    assert type(outage_of(error)) is (outage or type(None))


def refuse_queries(execute, sql, params, many, context):
    raise django_says(psycopg.errors.AdminShutdown("terminating connection"))


@pytest.mark.django_db
def test_a_database_that_is_away_is_a_page_that_says_so_and_when_to_come_back():
    client = Client(raise_request_exception=False)
    client.force_login(make_account())
    with connection.execute_wrapper(refuse_queries):
        answer = client.get(reverse("people:home"))
    assert (answer.status_code, answer["Retry-After"], answer["Reedcrew-Refusal"]) == (503, "30", "part_away")
    assert "Away for a moment" in answer.content.decode()
    assert "terminating" not in answer.content.decode()


@pytest.mark.django_db
def test_without_redis_nobody_new_signs_in_past_the_limits_and_who_is_signed_in_goes_on(settings):
    settings.CACHES = {"default": settings.CACHES["default"] | redis_that_is_away()}
    client = Client(raise_request_exception=False)
    answer = client.post(reverse("account_request_login_code"), {"email": "ana@example.org"})
    assert (answer.status_code, answer["Retry-After"]) == (503, "30")
    client.force_login(make_account())
    assert client.get(reverse("people:home")).status_code == 200


def redis_that_is_away() -> dict[str, str]:
    return {
        "BACKEND": "django.core.cache.backends.redis.RedisCache",
        "LOCATION": f"redis://127.0.0.1:{free_port()}",
    }
