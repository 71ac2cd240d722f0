"""Real web servers on the test's database, for the tests that kill, replace or starve them.

Servers share one open socket, as deploy/systemd has it: who comes while none of them runs waits in it.
"""

import json
import os
import signal
import socket
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import psutil
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders

from reedcrew.web.lifeline import die_with_parent
from reedcrew.web.management.commands.serve import web_command
from tests.services import LOOPBACK, wait_until
from tests.worker import database_url

START_S = 240  # a busy machine is slow and not wrong
THREADS, FINISH_S = 4, 30  # as many as deploy/ gives a process; gunicorn's own patience
READY = "Ready to answer"


class WebServer:
    """One web server with its processes, and what it has printed."""

    def __init__(self, listener: socket.socket, log: Path, *, processes: int, environment: dict[str, str]) -> None:
        self.log = log
        command = web_command(f"fd://{listener.fileno()}", threads=THREADS, finish_s=FINISH_S)
        inherited = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
        own = {"DATABASE_URL": database_url(), "REEDCREW_VAR": str(settings.VAR_DIR), "TMPDIR": str(log.parent)}
        own |= {"SITE_URL": settings.SITE_URL, "STATIC_ROOT": str(log.parent / "static")}
        with log.open("wb") as file:
            self.process = subprocess.Popen(
                [*command, "--workers", str(processes)],
                cwd=settings.BASE_DIR,
                env={**inherited, **own, **environment},
                stdin=subprocess.DEVNULL,
                stdout=file,
                stderr=file,
                pass_fds=[listener.fileno()],
                start_new_session=True,
                preexec_fn=die_with_parent,
            )

    def until(self, printed: str, *, times: int = 1) -> None:
        """Wait until it has printed this so many times."""

        def there() -> bool:
            assert self.process.poll() is None, self.log.read_text()
            return self.log.read_text().count(printed) >= times

        wait_until(there, what=f"the web server prints {printed!r}", seconds=START_S)

    def processes(self) -> list[int]:
        """The processes that answer, without the one that starts them."""
        return [child.pid for child in psutil.Process(self.process.pid).children()]

    def retire(self) -> None:
        """Let it finish what it has begun, and end."""
        self.process.send_signal(signal.SIGTERM)
        assert self.process.wait(START_S) == 0

    def kill(self) -> None:
        """All its processes at once, without a chance to end in order."""
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()


class Site:
    """A socket, and the web servers that were started at it."""

    def __init__(self, listener: socket.socket, folder: Path) -> None:
        self.listener, self.folder = listener, folder
        self.servers: list[WebServer] = []

    @property
    def port(self) -> int:
        return int(self.listener.getsockname()[1])

    def start(self, *, processes: int = 1, **environment: str) -> WebServer:
        """A further web server; returns when all its processes answer."""
        log = self.folder / f"web{len(self.servers)}.log"
        server = WebServer(self.listener, log, processes=processes, environment=environment)
        self.servers.append(server)
        server.until(READY, times=processes)
        return server


def _name_static_files(folder: Path) -> None:
    """What ``collectstatic`` leaves for pages to name files by, without the files, which no test here asks for."""
    names = {name: name for finder in get_finders() for name, _storage in finder.list(None)}
    folder.mkdir()
    (folder / "staticfiles.json").write_text(json.dumps({"version": "1.1", "hash": "", "paths": names}))


@contextmanager
def open_site(folder: Path) -> Iterator[Site]:
    """A socket of this machine without a server yet; whatever is started at it is killed at the end."""
    with ExitStack() as stack:
        _name_static_files(folder / "static")
        site = Site(stack.enter_context(socket.create_server((LOOPBACK, 0), backlog=1024)), folder)
        try:
            yield site
        finally:
            for server in site.servers:
                server.kill()
