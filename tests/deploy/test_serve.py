"""``manage.py serve`` as its user meets it: a real start of all parts, a page, a task, an end that leaves nothing."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlsplit

import psutil
import pytest
from django.conf import settings

from reedcrew.web.lifeline import die_with_parent
from tests.services import free_port, wait_until

pytestmark = pytest.mark.once

START_S = 240  # a busy machine is slow and not wrong
STOP_S = 60


@pytest.fixture(scope="module")
def static_files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("static")
    manage(tmp_path_factory.mktemp("var"), "collectstatic", "--noinput", "--verbosity=0", STATIC_ROOT=str(folder))
    return folder


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    manage(folder, "migrate", "--verbosity=0")
    return folder


@pytest.fixture
def var(tmp_path: Path, installed: Path) -> Path:
    return Path(shutil.copytree(installed, tmp_path / "var"))


def environment(var: Path, **more: str) -> dict[str, str]:
    return {"PATH": os.environ["PATH"], "LANG": "C.UTF-8", "REEDCREW_VAR": str(var), **more}


def manage(var: Path, *arguments: str, **more: str) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=settings.BASE_DIR,
        env=environment(var, **more),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


class Service:
    """A started service, its printed lines, and every process that belongs to it."""

    def __init__(self, process: "subprocess.Popen[str]", log: Path) -> None:
        self.process = process
        self.log = log
        self.processes: list[psutil.Process] = []

    def lines(self) -> list[str]:
        return self.log.read_text().splitlines()

    def wait_for(self, start: str) -> str:
        """The first line that begins with ``start``, once it is there."""

        def there() -> bool:
            assert self.process.poll() is None or any(line.startswith(start) for line in self.lines()), self.lines()
            return any(line.startswith(start) for line in self.lines())

        wait_until(there, what=f"the line {start!r}", seconds=START_S)
        own = psutil.Process(self.process.pid)
        self.processes = [own, *own.children(recursive=True)]
        return next(line for line in self.lines() if line.startswith(start))

    def part(self, name: str) -> int:
        """The process number of a part."""
        return int(self.wait_for(f"Started {name}, process ").rsplit(" ", 1)[1])

    def status(self) -> int:
        """The exit status, after it and every process that it started are gone."""
        status = self.process.wait(STOP_S)
        _gone, alive = psutil.wait_procs(self.processes, timeout=STOP_S)
        assert alive == []
        return status


def _as_from_a_terminal() -> None:
    """SIGINT counts: whoever runs the tests in the background of a shell has it ignored, and children inherit that."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    die_with_parent()


@contextmanager
def serving(var: Path, static_files: Path, **more: str) -> Iterator[Service]:
    log = var / "serve.log"
    with log.open("w") as file:
        process = subprocess.Popen(
            [sys.executable, "manage.py", "serve"],
            cwd=settings.BASE_DIR,
            env=environment(var, STATIC_ROOT=str(static_files), **{"PORT": "0", **more}),
            stdin=subprocess.DEVNULL,
            stdout=file,
            stderr=file,
            text=True,
            process_group=0,
            preexec_fn=_as_from_a_terminal,
        )
    try:
        yield Service(process, log)
    finally:
        process.terminate()
        process.wait(STOP_S)


@pytest.mark.parametrize("told", [signal.SIGTERM, signal.SIGINT])
def test_service_answers_does_background_work_and_stops_when_its_group_is_told(
    var: Path, static_files: Path, told: signal.Signals
) -> None:
    with closing(sqlite3.connect(var / "reedcrew.sqlite3")) as database, serving(var, static_files) as service:
        database.execute("insert into django_session values ('old', '', '2020-01-01')")
        database.commit()
        address = urlsplit(service.wait_for("Ready: ").removeprefix("Ready: "))
        assert (address.hostname, address.path) == ("127.0.0.1", "/")
        page = HTTPConnection("127.0.0.1", address.port or 0, timeout=START_S)
        with closing(page):
            page.request("GET", "/")
            assert page.getresponse().status < 500
        assert f"Cannot listen at 127.0.0.1, port {address.port}" in refusal(var, PORT=str(address.port))

        manage(var, "shell", "-v0", "-c", "from reedcrew.web.tasks import clear_sessions; clear_sessions.delay()")
        wait_until(
            lambda: (
                database.execute("select count(*) from django_session where session_key = 'old'").fetchone() == (0,)
            ),
            what="the worker removes the expired session",
        )
        os.killpg(service.process.pid, told)
        assert service.status() == 0
        assert service.lines()[-1] == "Stopped"


@pytest.mark.parametrize("part", ["web server", "worker", "beat"])
def test_service_stops_and_says_so_when_a_part_dies(var: Path, static_files: Path, part: str) -> None:
    with serving(var, static_files) as service:
        service.wait_for("Ready: ")
        os.kill(service.part(part), signal.SIGKILL)
        assert service.status() == 1
        assert f"The {part} ended by itself with status -9" in service.log.read_text()


def test_nothing_is_left_when_the_service_itself_is_killed_and_it_starts_again(var: Path, static_files: Path) -> None:
    port = str(free_port())
    with serving(var, static_files, PORT=port) as service:
        service.wait_for("Ready: ")
        service.process.kill()
        assert service.status() == -signal.SIGKILL
    (var / "queue" / "half.celery.part").write_text("{")
    with serving(var, static_files, PORT=port) as service:
        assert service.wait_for("Ready: ") == f"Ready: http://127.0.0.1:{port}/"
        assert list((var / "queue").glob("half.*")) == []


def refusal(var: Path, **more: str) -> str:
    done = subprocess.run(
        [sys.executable, "manage.py", "serve"],
        cwd=settings.BASE_DIR,
        env=environment(var, **more),
        capture_output=True,
        text=True,
        check=False,
        timeout=START_S,
    )
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    return done.stderr.strip()


def test_database_without_its_tables_is_refused(tmp_path: Path) -> None:
    assert "python manage.py migrate" in refusal(tmp_path, PORT="0")


@pytest.mark.parametrize("port", ["", "eight", "-1", "65536", "8000.5"])
def test_port_that_is_no_port_is_refused(tmp_path: Path, port: str) -> None:
    assert refusal(tmp_path, PORT=port) == (f"Cannot start: PORT must be a whole number from 0 to 65535, not {port!r}.")


def test_hosted_service_without_its_secrets_is_refused(tmp_path: Path) -> None:
    message = refusal(tmp_path, SITE_URL="https://days.example")
    assert message == (
        "Cannot start: A hosted installation (https SITE_URL) needs SECRET_KEY, FIELD_KEYS, EMAIL_URL, MAIL_FROM in the"
        " environment."
    )
