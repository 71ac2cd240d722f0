"""``manage.py serve``: the whole service in one command, for one machine."""

import errno
import os
import signal
import socket
import subprocess
import sys
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException
from queue import Empty, SimpleQueue
from threading import Thread
from time import monotonic, sleep
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from reedcrew.web.folderqueue import clear_unfinished
from reedcrew.web.lifeline import die_with_parent

WEB_THREADS = 8  # requests at a time; SQLite lets one of them write
WORKER_THREADS = 2  # threads and not processes: one interpreter's memory, and no children of its own to stop
FINISH_S = 5  # what runs when the service is told to stop may still finish in this time
KILL_S = 8  # who is still there by then is killed
PORT_S = 5  # a service that was killed a moment ago may still hold its port for so long
FIRST_PAGE_S = 120  # a cold, slow disk loads the numeric libraries in well under this


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The service was told to stop, by this signal."""

    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """This part of the service is no longer running."""

    part: str
    status: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPage:
    """The first page was asked for; ``status`` is None when nothing answered."""

    status: int | None


Event = Told | Ended | FirstPage


class Command(BaseCommand):
    """Starts the web server, a worker and beat, and stops all of them together."""

    help = "Run the web server, a worker and beat until told to stop. PORT and BIND say where to listen."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        events: SimpleQueue[Event] = SimpleQueue()
        for number in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
            if signal.getsignal(number) is not signal.SIG_IGN:  # as nohup does with SIGHUP
                signal.signal(number, lambda number, _frame: events.put(Told(number=number)))

        self._refuse_old_tables()
        listener = _listen(settings.BIND, int(settings.PORT))
        host, port = listener.getsockname()[:2]
        settings.QUEUE_DIR.mkdir(parents=True, exist_ok=True)
        clear_unfinished(settings.QUEUE_DIR)

        running: dict[str, subprocess.Popen[bytes]] = {}
        try:
            for part, command in _parts(listener.fileno()).items():
                running[part] = _start(part, command, listener, events)
                self._say(f"Started {part}, process {running[part].pid}")
            listener.close()
            reached = "127.0.0.1" if host in {"0.0.0.0", "::"} else host  # noqa: S104 - compared, not bound
            Thread(target=_ask_first_page, args=(reached, port, events), daemon=True).start()
            trouble = self._watch(events, running, f"http://{reached}:{port}/")
        finally:
            _stop(running, events)
        if trouble:
            raise CommandError(trouble)
        self._say("Stopped")

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()

    def _refuse_old_tables(self) -> None:
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            raise CommandError("The database is not up to date. Run: python manage.py migrate")
        connection.close()

    def _watch(
        self, events: "SimpleQueue[Event]", running: dict[str, subprocess.Popen[bytes]], address: str
    ) -> str | None:
        """Wait until the service is told to stop (None) or cannot go on (a sentence that says why)."""
        while True:
            match events.get():
                case Told(number=number):
                    self._say(f"Stopping on {signal.Signals(number).name}")
                    return None
                case Ended(part=part, status=status):
                    del running[part]
                    return f"The {part} ended by itself with status {status}. Its lines above say why. All is stopped."
                case FirstPage(status=None):
                    return "The web server does not answer. Its lines above say why. All is stopped."
                case FirstPage(status=int(status)) if status >= 500:
                    return f"The first page answers with error {status}. The lines above say why. All is stopped."
                case FirstPage():
                    self._say(f"Ready: {address}")


def web_command(bind: str, *, threads: int, finish_s: int) -> list[str]:
    """The command of a web server at ``bind``, an address or an open socket; ``finish_s`` is what its requests get."""
    return [
        *(sys.executable, "-m", "gunicorn", "--config", "python:reedcrew.web.gunicorn", "reedcrew.wsgi"),
        *("--bind", bind, "--no-control-socket"),
        *("--worker-class", "gthread", "--threads", str(threads), "--graceful-timeout", str(finish_s)),
    ]


def worker_command() -> list[str]:
    """The command of a worker that suits both brokers and both databases."""
    return [
        *(sys.executable, "-m", "celery", "--quiet", "--skip-checks", "--app", "reedcrew", "worker"),
        *("--pool", "threads", "--concurrency", str(WORKER_THREADS), "--loglevel", "INFO"),
        *("--without-mingle", "--without-gossip", "--without-heartbeat"),
    ]


def _parts(listener: int) -> dict[str, list[str]]:
    """The commands of the three parts; the web server takes over the open socket with number ``listener``."""
    return {
        "web server": [
            *web_command(f"fd://{listener}", threads=WEB_THREADS, finish_s=FINISH_S),
            *("--log-level", "warning"),
        ],
        "worker": worker_command(),
        "beat": [
            *(sys.executable, "-m", "celery", "--quiet", "--skip-checks", "--app", "reedcrew", "beat"),
            *("--loglevel", "INFO"),
        ],
    }


def _listen(host: str, port: int) -> socket.socket:
    """An open socket at ``host`` and ``port``; port 0 takes a free one. Raises CommandError naming what to change."""
    deadline = monotonic() + PORT_S
    while True:
        try:
            return _bound(host, port)
        except OSError as error:
            if error.errno != errno.EADDRINUSE or monotonic() > deadline:
                raise CommandError(
                    f"Cannot listen at {host}, port {port}: {error}. Set PORT to a free one, or BIND to an own address."
                ) from error
        sleep(0.2)


def _bound(host: str, port: int) -> socket.socket:
    family, kind, protocol, _name, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    listener = socket.socket(family, kind, protocol)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(address)
        listener.listen()
    except OSError:
        listener.close()
        raise
    return listener


def _start(
    part: str, command: list[str], listener: socket.socket, events: "SimpleQueue[Event]"
) -> subprocess.Popen[bytes]:
    process = subprocess.Popen(  # noqa: S603 - our own commands
        command,
        cwd=settings.BASE_DIR,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "reedcrew.settings", "PORT": str(listener.getsockname()[1])},
        stdin=subprocess.DEVNULL,
        pass_fds=[listener.fileno()] if part == "web server" else [],
        preexec_fn=die_with_parent,
        process_group=0,  # a signal to ours, as from Ctrl-C, reaches a part once and only through us
    )
    Thread(target=lambda: events.put(Ended(part=part, status=process.wait())), daemon=True).start()
    return process


def _ask_first_page(host: str, port: int, events: "SimpleQueue[Event]") -> None:
    """Ask once: the socket is open already, so the request waits in it until the web server has loaded."""
    site = urlsplit(settings.SITE_URL)
    web = HTTPConnection(host, port, timeout=FIRST_PAGE_S)
    try:
        web.request("GET", "/", headers={"Host": site.netloc, "X-Forwarded-Proto": site.scheme})
        answer = web.getresponse()
        answer.read()
        events.put(FirstPage(status=answer.status))
    except (OSError, HTTPException):
        events.put(FirstPage(status=None))
    finally:
        web.close()


def _stop(running: dict[str, subprocess.Popen[bytes]], events: "SimpleQueue[Event]") -> None:
    """Ask every part to finish, and kill those that have not after KILL_S. Returns when all are gone."""
    for process in running.values():
        process.terminate()
    late = monotonic() + KILL_S
    while running:
        try:
            event = events.get(timeout=max(0.0, late - monotonic()))
        except Empty:
            for process in running.values():
                process.kill()
            event = events.get()
        if isinstance(event, Ended):
            running.pop(event.part, None)
