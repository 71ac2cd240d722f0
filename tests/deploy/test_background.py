"""Wake-ups reach a real worker process: through the folder and through Redis, on the database of the run."""

import datetime
import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from celery import current_app
from django.conf import settings
from django.contrib.sessions.models import Session
from django.db import transaction

from reedcrew.web.folderqueue import clear_unfinished
from reedcrew.web.wake import wake
from tests.worker import Worker, live_broker, run_worker

TASK = "web.clear_sessions"
LONG_AGO = datetime.datetime(2020, 1, 1, tzinfo=datetime.UTC)


@pytest.fixture(params=["folder", "redis"])
def worker(request: pytest.FixtureRequest, transactional_db: None) -> Iterator[Worker]:
    url = request.getfixturevalue("redis_url") if request.param == "redis" else ""
    with live_broker(redis_url=url) as broker, run_worker(broker, {}) as running:
        yield running


def make_expired_session(key: str) -> None:
    Session.objects.create(session_key=key, session_data="", expire_date=LONG_AGO)


def test_worker_does_what_a_committed_change_woke_it_for(worker: Worker) -> None:
    with transaction.atomic():
        make_expired_session("old")
        wake(TASK)
    worker.until(lambda: not Session.objects.exists(), what="the expired session is removed")


def test_nothing_is_woken_by_a_change_that_was_rolled_back(
    transactional_db: None, woken: Callable[[], list[tuple[str, tuple[Any, ...]]]]
) -> None:
    with transaction.atomic():
        wake(TASK)
        transaction.set_rollback(True)
    assert woken() == []
    wake(TASK, 7, "a")
    assert woken() == [(TASK, (7, "a"))]


def test_worker_goes_on_after_a_message_that_nobody_can_read(
    running_worker: Callable[..., Worker], transactional_db: None
) -> None:
    worker = running_worker()
    if not os.environ.get("REDIS_URL"):
        (settings.QUEUE_DIR / "0-broken.celery.msg").write_text('{"half": ')
    make_expired_session("old")
    wake(TASK)
    worker.until(lambda: not Session.objects.exists(), what="the expired session is removed")
    assert worker.process.poll() is None


def test_broker_that_cannot_be_reached_costs_the_wake_up_and_not_the_change(
    transactional_db: None, caplog: pytest.LogCaptureFixture
) -> None:
    with live_broker(redis_url="") as broker:
        queue = settings.QUEUE_DIR
        broker.conf.broker_transport_options = {"folder": str(queue / "a file, not a folder")}
        (queue / "a file, not a folder").write_text("")
        with transaction.atomic():
            make_expired_session("kept")
            wake(TASK)
    assert Session.objects.filter(session_key="kept").exists()
    assert f"Could not wake {TASK}" in caplog.text


def test_messages_of_a_folder_wait_for_a_worker_and_leave_in_order(transactional_db: None) -> None:
    with live_broker(redis_url=""):
        for number in (1, 2, 3):
            wake(TASK, number)
        (settings.QUEUE_DIR / "killed.celery.part").write_text("{")
        (settings.QUEUE_DIR / "killed.celery.taken").write_text("{}")
        assert clear_unfinished(settings.QUEUE_DIR) == 2
        with current_app.connection_for_read() as connection, connection.SimpleQueue("celery") as queue:
            assert queue.qsize() == 3
            messages = [queue.get_nowait() for _ in range(3)]
            assert [message.payload[0] for message in messages] == [[1], [2], [3]]
            for message in messages:
                message.ack()
        assert list(settings.QUEUE_DIR.glob("*.taken")) == []


def test_message_not_acknowledged_goes_back_into_the_folder(transactional_db: None) -> None:
    with live_broker(redis_url=""):
        wake(TASK)
        with current_app.connection_for_read() as connection, connection.SimpleQueue("celery") as queue:
            queue.get_nowait()
            assert queue.qsize() == 0
        with current_app.connection_for_read() as connection, connection.SimpleQueue("celery") as queue:
            assert queue.qsize() == 1
            assert queue.clear() == 1
