"""A new version takes over under a steady stream of requests: nobody meets a closed door.

Two web servers share one socket, as deploy/systemd has it; one is replaced while the other answers.
"""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from threading import Event, Thread

import pytest
from django.conf import settings
from prometheus_client.parser import text_string_to_metric_families

from reedcrew.web.lifeline import die_with_parent
from tests.services import LOOPBACK, wait_until
from tests.worker import database_url

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

START_S = 240  # a busy machine is slow and not wrong
CLIENTS, PAUSE_S = 4, 0.1
GROUP = "/g/no-such-group/"  # leads who is not signed in to the sign-in page


class WebServer:
    """One web server on a socket that it shares, with what it has printed."""

    def __init__(self, listener: socket.socket, log: Path) -> None:
        self.log = log
        command = [sys.executable, "-m", "gunicorn", "--config", "python:reedcrew.web.gunicorn", "reedcrew.wsgi"]
        command += ["--bind", f"fd://{listener.fileno()}", "--no-control-socket", "--worker-class", "gthread"]
        command += ["--threads", "4", "--graceful-timeout", "30"]
        inherited = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
        with log.open("wb") as file:
            self.process = subprocess.Popen(
                command,
                cwd=settings.BASE_DIR,
                env={**inherited, "DATABASE_URL": database_url(), "TMPDIR": str(log.parent)},
                stdin=subprocess.DEVNULL,
                stdout=file,
                stderr=file,
                pass_fds=[listener.fileno()],
                preexec_fn=die_with_parent,
            )

    def until(self, printed: str) -> None:
        def there() -> bool:
            assert self.process.poll() is None, self.log.read_text()
            return printed in self.log.read_text()

        wait_until(there, what=f"the web server prints {printed!r}", seconds=START_S)

    def retire(self) -> None:
        """Let it finish what it has begun, and end."""
        self.process.send_signal(signal.SIGTERM)
        assert self.process.wait(START_S) == 0

    def answered(self) -> int:
        return self.log.read_text().count("people:group: 302")


@contextmanager
def stream(port: int) -> Iterator[list[int | str]]:
    """Clients that ask all the time, each on a new connection, with what they were answered."""
    answers: list[int | str] = []
    enough = Event()

    def ask() -> None:
        while not enough.is_set():
            web = HTTPConnection(LOOPBACK, port, timeout=START_S)
            try:
                web.request("GET", GROUP, headers={"Connection": "close"})
                answer = web.getresponse()
                answer.read()
                answers.append(answer.status)
            except OSError as error:
                answers.append(repr(error))
            finally:
                web.close()
            time.sleep(PAUSE_S)

    clients = [Thread(target=ask) for _ in range(CLIENTS)]
    for client in clients:
        client.start()
    try:
        yield answers
    finally:
        enough.set()
        for client in clients:
            client.join()


def more(answers: list[int | str], number: int) -> None:
    """Wait until so many further requests are answered."""
    enough = len(answers) + number
    wait_until(lambda: len(answers) >= enough, what=f"{number} further answers", seconds=START_S)


def test_a_web_server_is_replaced_under_load_and_no_request_fails(tmp_path: Path) -> None:
    with ExitStack() as stack:
        listener = stack.enter_context(socket.create_server((LOOPBACK, 0)))
        port = listener.getsockname()[1]
        servers: list[WebServer] = []

        def start() -> WebServer:
            server = WebServer(listener, tmp_path / f"{len(servers)}.log")
            stack.callback(server.process.kill)
            servers.append(server)
            server.until("Ready to answer")
            return server

        first = start()
        with stream(port) as answers:
            more(answers, 20)
            second = start()
            more(answers, 20)
            first.retire()
            more(answers, 20)
        assert set(answers) == {302}
        assert sum(server.answered() for server in servers) == len(answers)
        assert all(server.answered() > 0 for server in servers)

        # Each start has numbers of its own, beginning at zero, and takes them away with it.
        web = HTTPConnection(LOOPBACK, port, timeout=START_S)
        web.request("GET", "/metrics")
        families = text_string_to_metric_families(web.getresponse().read().decode())
        told = {
            tuple(s.labels.values()): s.value for family in families for s in family.samples if "_requests" in s.name
        }
        web.close()
        assert told["302", "people:group"] == second.answered()
        second.retire()
        assert list(tmp_path.glob("reedcrew-metrics-*")) == []
