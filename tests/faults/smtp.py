"""A real mail server that can stop, refuse or hang up at every step of a conversation."""

import asyncio
import threading
from collections import defaultdict, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from tests.services import LOOPBACK, START_S, MailServer, free_port


class Step(StrEnum):
    """Where a conversation stands, as the server sees it (RFC 5321 section 3)."""

    GREETING = "greeting"  # EHLO came
    SENDER = "sender"  # MAIL came
    RECEIVER = "receiver"  # RCPT came
    TEXT = "text"  # the first line of the text came, the rest has not been read
    RECEIVED = "received"  # the whole text came, nothing is decided
    ACCEPTED = "accepted"  # the mail is kept, the client does not know it yet


HANG_UP = ""


@dataclass(slots=True, kw_only=True)
class FaultyMailServer(MailServer):
    """A mail server that does as told at the next conversation that reaches a step."""

    answers: dict[Step, deque[str]] = field(default_factory=lambda: defaultdict(deque))
    """By step: answers instead of going on, such as ``"451 4.3.0 Try later"``, or HANG_UP."""
    held: threading.Event = field(default_factory=threading.Event)
    """Set while a conversation is stopped at the step of :meth:`hold_at`."""
    answered: threading.Event = field(default_factory=threading.Event)
    """Set when the answer to a text that was held has gone out."""
    _hold: Step | None = None
    _go_on: asyncio.Event | None = None
    _loop: asyncio.AbstractEventLoop | None = None

    def hold_at(self, step: Step) -> None:
        """Stop the next conversation that reaches ``step`` until :meth:`go_on`, or until the client is gone."""
        self.held.clear()
        self.answered.clear()
        self._hold = step

    def go_on(self) -> None:
        """Let the conversation that is held go on."""
        assert self._loop is not None
        assert self._go_on is not None
        self._loop.call_soon_threadsafe(self._go_on.set)

    async def reach(self, step: Step, server: SMTP) -> str | None:
        """What the server answers at this step instead of going on; None to go on."""
        if self._hold is step:
            self._hold = None
            self._loop, self._go_on = asyncio.get_running_loop(), asyncio.Event()
            self.held.set()
            await self._go_on.wait()
            self.held.clear()
        if not self.answers[step]:
            return None
        answer = self.answers[step].popleft()
        if answer == HANG_UP:
            assert isinstance(server.transport, asyncio.WriteTransport)
            server.transport.abort()
            return "421 4.3.0 Gone"
        return answer

    async def handle_EHLO(
        self, server: SMTP, session: Session, _envelope: Envelope, hostname: str, responses: list[str]
    ) -> list[str]:
        """The hook of aiosmtpd for a client's greeting."""
        session.host_name = hostname
        self.connections += 1
        await self.reach(Step.GREETING, server)
        return responses

    async def handle_MAIL(
        self, server: SMTP, _session: Session, envelope: Envelope, address: str, _options: list[str]
    ) -> str:
        """The hook of aiosmtpd for the sender."""
        answer = await self.reach(Step.SENDER, server)
        if answer is None:
            envelope.mail_from = address
        return answer or "250 OK"

    async def handle_RCPT(
        self, server: SMTP, _session: Session, envelope: Envelope, address: str, _options: list[str]
    ) -> str:
        """The hook of aiosmtpd for a receiver."""
        answer = await self.reach(Step.RECEIVER, server)
        if answer is None:
            envelope.rcpt_tos.append(address)
        return answer or "250 OK"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:
        """The hook of aiosmtpd for a message's text."""
        answer = await self.reach(Step.RECEIVED, server)
        if answer is None:
            kept = await MailServer.handle_DATA(self, server, session, envelope)
            answer = await self.reach(Step.ACCEPTED, server) or kept
        return answer


class _Conversation(SMTP):
    async def smtp_DATA(self, arg: str) -> None:
        handler = self.event_handler
        assert isinstance(handler, FaultyMailServer)
        if handler._hold is Step.TEXT or handler.answers[Step.TEXT]:
            await self.push("354 Go on")
            assert self._reader is not None
            await self._reader.readuntil(b"\r\n")
            await handler.reach(Step.TEXT, self)
            if isinstance(self.transport, asyncio.WriteTransport):
                self.transport.abort()
            return
        received = len(handler.received)
        await super().smtp_DATA(arg)
        if len(handler.received) > received:
            handler.answered.set()


class _Controller(Controller):
    def factory(self) -> SMTP:
        return _Conversation(self.handler, **self.SMTP_kwargs)


@contextmanager
def faulty_mail_server() -> Iterator[FaultyMailServer]:
    """A running mail server that fails when told to."""
    server = FaultyMailServer(port=free_port())
    controller = _Controller(server, hostname=LOOPBACK, port=server.port, ready_timeout=START_S)
    controller.start()
    try:
        yield server
    finally:
        controller.stop()
