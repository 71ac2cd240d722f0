"""A real worker process for the tests that must see background work happen."""

import os
import signal
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from celery import Celery
from django.conf import settings
from django.db import connection

from reedcrew.celery import app
from reedcrew.web.lifeline import die_with_parent
from reedcrew.web.management.commands.serve import worker_command
from tests.services import wait_until

START_S = 180  # a busy machine is slow and not wrong
FINISH_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """A running worker; ``log`` is what it has printed."""

    process: subprocess.Popen[bytes]
    log: Path

    def until(self, condition: Callable[[], bool], *, what: str) -> None:
        """Wait until ``condition`` holds; AssertionError with ``what`` and the worker's log when it does not."""
        try:
            wait_until(condition, what=what, seconds=START_S)
        except AssertionError as error:
            raise AssertionError(f"{error}\n{self.log.read_text()}") from None


@contextmanager
def live_broker(*, redis_url: str) -> Iterator[Celery]:
    """Let wake-ups of this process go to a real broker: Redis at ``redis_url``, else a folder."""
    folder = settings.VAR_DIR / "queue"
    live = Celery("reedcrew-live", broker=redis_url or "folder://localhost", set_as_current=False)
    options = settings.CELERY_BROKER_TRANSPORT_OPTIONS if redis_url else {"folder": str(folder)}
    live.conf.broker_transport_options = options
    live.set_default()
    live.set_current()
    try:
        with live.connection_for_write() as broker, broker.SimpleQueue("celery") as queue:
            queue.clear()  # nothing of an earlier test
        yield live
    finally:
        app.set_default()
        app.set_current()
        live.close()


def database_url() -> str:
    """The DATABASE_URL of the database that this test uses."""
    name = connection.settings_dict["NAME"]
    if connection.vendor == "sqlite":
        return f"sqlite:///{name}"
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()


@contextmanager
def run_worker(broker: Celery, environment: dict[str, str]) -> Iterator[Worker]:
    """A worker on the test's database and on ``broker``, ready for work; ``environment`` is added to its own."""
    log = settings.VAR_DIR / "worker.log"
    url = broker.conf.broker_url
    inherited = {
        name: value for name, value in os.environ.items() if name not in {"REDIS_URL", "DJANGO_SETTINGS_MODULE"}
    }
    own = {"DATABASE_URL": database_url(), "REEDCREW_VAR": str(settings.VAR_DIR), "SITE_URL": settings.SITE_URL}
    if url.startswith("redis"):
        own["REDIS_URL"] = url
    with log.open("wb") as file:
        process = subprocess.Popen(
            worker_command(),
            cwd=settings.BASE_DIR,
            env={**inherited, **own, **environment},
            stdin=subprocess.DEVNULL,
            stdout=file,
            stderr=file,
            preexec_fn=die_with_parent,
        )
    worker = Worker(process=process, log=log)

    def ready() -> bool:
        assert process.poll() is None, "the worker ended"
        return " ready." in log.read_text()

    try:
        worker.until(ready, what="the worker starts")
        yield worker
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(FINISH_S)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
