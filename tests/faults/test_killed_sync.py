"""A server killed in the middle of a sync, and an answer lost after it: sent again, every entry is there once."""

import datetime
import http.client
import json
import time
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from reedcrew.fieldbook.models import Attendance, Submission, Tally
from reedcrew.people.roles import Role
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.fieldbook.sync.phones import Phone
from tests.services import wait_until
from tests.webserver import open_site

pytestmark = pytest.mark.django_db(transaction=True)

START_S = 120  # a busy machine is slow and not wrong
PEOPLE, TALLIES = 12, 60


class Line:
    """A signed-in phone's line to the site."""

    def __init__(self, port: int, session: str) -> None:
        self.port, self.cookies = port, {settings.SESSION_COOKIE_NAME: session}
        self.token = ""

    def ask(self, method: str, address: str, body: bytes | None = None) -> http.client.HTTPConnection:
        """Send a request; the answer is read, or not, by the caller."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=START_S)
        heads = {
            "Host": urlsplit(settings.SITE_URL).netloc,
            "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items()),
            "Content-Type": "application/json",
            "Connection": "close",
            "X-CSRFToken": self.token,
        }
        line.request(method, address, body, heads)
        return line

    def open_day(self, address: str) -> None:
        """Fetch the day, with it the token that a phone's requests carry."""
        answer = self.ask("GET", address).getresponse()
        assert answer.status == 200, answer.read()
        self.token = answer.headers["X-CSRFToken"]
        (cookie,) = [each for each in answer.headers.get_all("Set-Cookie") if each.startswith("csrftoken=")]
        self.cookies["csrftoken"] = cookie.split(";")[0].partition("=")[2]


def waits_for_a_lock() -> bool:
    """Whether another process stands before a lock of ours; on SQLite nobody can tell, so some time passes."""
    if connection.vendor == "sqlite":
        time.sleep(1)
        return True
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock'")
        return bool(cursor.fetchone()[0])


def make_day_of_now() -> tuple[WorkDay, str]:
    """A day that is under way by the real clock, and the session of its lead."""
    now = timezone.now()
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    span = datetime.timedelta(hours=3)
    day = factories.make_day(stand, starts_at=now - span, ends_at=now + span, date=now.date())
    client = Client()
    client.force_login(factories.make_member(day.group, role=Role.CREW_LEAD).account)
    return day, client.cookies[settings.SESSION_COOKIE_NAME].value


def morning_of(phone: Phone, day: WorkDay) -> list[dict[str, Any]]:
    zone = day.zones.get().pk
    came = []
    for _person in range(PEOPLE):
        member = factories.make_water_member(day.group)
        factories.make_sign_up(day, member)
        came.append(phone.entry("sign_in", day.starts_at, member=member.pk))
    stems = [phone.entry("tally", day.starts_at, zone=zone, stems=number) for number in range(TALLIES)]
    return [*came, *stems]


def test_a_server_killed_in_a_sync_and_a_lost_answer_leave_every_entry_once(tmp_path: Path) -> None:
    day, session = make_day_of_now()
    phone = Phone()
    sent = morning_of(phone, day)
    body = json.dumps(phone.request(sent, timezone.now())).encode()
    address = reverse("fieldbook:sync", args=[day.group.slug, day.pk])
    of_day = reverse("fieldbook:day_json", args=[day.group.slug, day.pk])

    with open_site(tmp_path) as site:
        server, phone_line = site.start(), Line(site.port, session)
        phone_line.open_day(of_day)
        with transaction.atomic():  # the last row of the sync is ours for now: the server stands before it
            Tally.objects.create(
                id=sent[-1]["id"],
                day=day,
                zone=day.zones.get(),
                method=Tally.Method.COUNTED,
                stems=0,
                entered_by=day.posted_by,
                entered_at=day.starts_at,
            )
            line = phone_line.ask("POST", address, body)
            wait_until(waits_for_a_lock, what="the sync stands in its middle", seconds=START_S)
            server.kill()
            transaction.set_rollback(True)
        with pytest.raises((http.client.HTTPException, OSError)):
            line.getresponse()
        assert (Submission.objects.count(), Attendance.objects.count(), Tally.objects.count()) == (0, 0, 0)

        site.start()
        lost = phone_line.ask("POST", address, body)
        wait_until(lambda: Submission.objects.count() == len(sent), what="the sync is kept", seconds=START_S)
        lost.close()  # the network broke off before the answer came
        answer = json.loads(phone_line.ask("POST", address, body).getresponse().read())
    assert {each["outcome"] for each in answer["entries"]} == {"again"}
    assert (Submission.objects.count(), Attendance.objects.count(), Tally.objects.count()) == (
        len(sent),
        PEOPLE,
        TALLIES,
    )
