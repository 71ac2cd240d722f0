"""Every connection of a worker to PostgreSQL cut while it sends. There is no such thing on SQLite."""

from collections.abc import Callable

import pytest
from celery import Celery
from django.db import connection

from tests.faults.scenes import all_sent, count, let_time_pass, make_mails, make_open_day, message_ids
from tests.faults.smtp import FaultyMailServer, Step
from tests.worker import run_worker

pytestmark = pytest.mark.django_db(transaction=True)


def cut_others() -> int:
    """End every other connection to this database; how many there were."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        return int(cursor.fetchone()[0])


if connection.vendor == "postgresql":

    def test_a_worker_whose_connections_are_cut_loses_no_mail(
        broker: Celery, faulty_server: FaultyMailServer, report: Callable[[object], None]
    ) -> None:
        day = make_open_day()
        with run_worker(broker, {"EMAIL_URL": faulty_server.email_url}) as worker:
            faulty_server.hold_at(Step.RECEIVED)
            make_mails(day, 10)
            worker.until(faulty_server.held.is_set, what="a mail is received")
            assert cut_others() >= 1
            faulty_server.go_on()
            worker.until(faulty_server.answered.is_set, what="the server has answered")
            let_time_pass()
            worker.until(all_sent, what="the worker connects again and sends")
        counted = count(faulty_server.received, message_ids())
        assert (counted.mails, counted.lost) == (10, 0)
        report(counted)
