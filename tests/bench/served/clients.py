"""The web server of a measurement, and clients who hold their connections."""

import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection, RemoteDisconnected
from queue import SimpleQueue
from urllib.parse import urlencode, urlsplit

from django.conf import settings

from reedcrew.web.lifeline import die_with_parent
from reedcrew.web.management.commands.serve import web_command
from tests.services import LOOPBACK, wait_until

PROCESSES, THREADS = 2, 8
FINISH_S = 30
PATIENCE_S = 120  # an answer that takes longer counts as none
SECRET = "b" * 32  # of the CSRF cookie; any 32 letters are one


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """One request: GET, or POST where it has fields. ``session`` is the key of who is signed in, or empty."""

    path: str
    session: str = ""
    fields: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    press: Press
    status: int
    location: str
    seconds: float


@contextmanager
def web_server() -> Iterator[None]:
    """Gunicorn with two processes of eight threads, which answers while the block runs."""
    command = web_command(f"{LOOPBACK}:{settings.PORT}", threads=THREADS, finish_s=FINISH_S)
    command += ["--workers", str(PROCESSES), "--log-level", "warning", "--keep-alive", "30"]
    server = subprocess.Popen(command, stdout=sys.stderr, preexec_fn=die_with_parent)
    try:
        wait_until(answers, what="the web server answers")
        yield
    finally:
        server.terminate()
        server.wait()


def answers() -> bool:
    try:
        return press_one(connection(), Press(path="/healthz")).status == 200
    except OSError:
        return False


def connection() -> HTTPConnection:
    return HTTPConnection(LOOPBACK, int(settings.PORT), timeout=PATIENCE_S)


def press_one(http: HTTPConnection, press: Press) -> Answer:
    """Send one request and read its answer to the end. Where the server closed a resting connection, once more."""
    cookies = {settings.CSRF_COOKIE_NAME: SECRET}
    if press.session:
        cookies[settings.SESSION_COOKIE_NAME] = press.session
    headers = {
        "Host": urlsplit(settings.SITE_URL).netloc,
        "Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items()),
    }
    body = None
    if press.fields:
        body = urlencode({**press.fields, "csrfmiddlewaretoken": SECRET})
        headers["Content-Type"] = "application/x-www-form-urlencoded"
    begun = time.perf_counter()
    for is_last in (False, True):
        rests = http.sock is not None
        try:
            http.request("POST" if body else "GET", press.path, body, headers)
            response = http.getresponse()
            break
        except (RemoteDisconnected, ConnectionResetError, BrokenPipeError):
            http.close()
            if is_last or not rests:
                raise
    response.read()
    seconds = time.perf_counter() - begun
    return Answer(press=press, status=response.status, location=response.getheader("Location") or "", seconds=seconds)


def press_all(presses: Sequence[Press], connections: int) -> tuple[list[Answer], float]:
    """All answers, in the order in which they came, and the seconds from the first request to the last answer."""
    waiting: SimpleQueue[Press] = SimpleQueue()
    for press in presses:
        waiting.put(press)
    found: SimpleQueue[Answer] = SimpleQueue()

    def client(_number: int) -> None:
        http = connection()
        while not waiting.empty():
            found.put(press_one(http, waiting.get()))
        http.close()

    begun = time.perf_counter()
    with ThreadPoolExecutor(max_workers=connections) as pool:
        list(pool.map(client, range(connections)))
    seconds = time.perf_counter() - begun
    return [found.get() for _press in presses], seconds
