"""What kind of mail somebody sent, and the calendar answer or bounce in it."""

import email
import email.policy
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from email.header import decode_header, make_header
from email.message import Message
from email.utils import parseaddr
from enum import StrEnum

from reedcrew.invites.plaintext import one_line, plain_text
from reedcrew.invites.replies.answers import Answer, Asks, Problem, UnusableReply, method_of, read_answer
from reedcrew.invites.replies.authentication import Verdict, verdict_on
from reedcrew.invites.replies.bounces import Bounce, read_bounce
from reedcrew.invites.replies.html_words import words_of_html
from reedcrew.web.addresses import AddressError, mail_address

MAIL_OCTETS_MAX = 2 * 1024 * 1024
PART_OCTETS_MAX = 256 * 1024
LEVELS_MAX = 10  # of parts within parts
WORDS_LENGTH = 20_000  # characters kept of what a person wrote
HEADER_LENGTH = 200
CALENDAR_TYPES = {"text/calendar", "application/ics"}


class Kind(StrEnum):
    """What a mail that came in is."""

    ANSWER = "answer"  # a calendar program's REPLY, COUNTER or REFRESH
    BOUNCE = "bounce"
    AUTOMATIC = "automatic"  # out of office and the like
    PERSONAL = "personal"  # somebody wrote to the organizers
    UNUSABLE = "unusable"  # ``problem`` says why


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """A mail as far as it could be read. ``sender`` and ``message_id`` may be empty, ``words`` are a person's."""

    kind: Kind
    message_id: str = ""
    sender: str = ""
    subject: str = ""
    automatic: bool = False  # an answer to it would be answered by a machine
    verdict: Verdict = Verdict.SILENT
    answer: Answer | None = None
    bounce: Bounce | None = None
    words: str = ""
    threads: tuple[str, ...] = ()  # Message-IDs that it answers
    problem: Problem | None = None


def read_mail(raw: bytes, *, trusted: Sequence[str] = ()) -> Incoming:
    """Read a mail of any bytes; never raises. ``trusted`` are the authserv-ids whose verdicts count (RFC 8601)."""
    if len(raw) > MAIL_OCTETS_MAX:
        return Incoming(kind=Kind.UNUSABLE, problem=Problem.TOO_BIG)
    try:
        mail = email.message_from_bytes(raw, policy=email.policy.compat32)
        return _read(mail, trusted)
    except UnusableReply as unusable:
        return Incoming(kind=Kind.UNUSABLE, problem=unusable.problem)
    except Exception:  # one strange mail must not keep the next one from being read
        return Incoming(kind=Kind.UNUSABLE, problem=Problem.UNREADABLE)


# --- Private ---------------------------------------------------------------------------------------------------------


def _read(mail: Message, trusted: Sequence[str]) -> Incoming:
    sender = _sender(mail)
    known = {
        "message_id": _header(mail, "Message-ID"),
        "sender": sender,
        "subject": one_line(_header(mail, "Subject")),
        "automatic": _is_automatic(mail),
        "threads": tuple(f"{_header(mail, 'In-Reply-To')} {_header(mail, 'References')}".split()),
    }
    bounce = read_bounce(mail)
    if bounce is not None:
        return Incoming(kind=Kind.BOUNCE, bounce=bounce, **known)  # type: ignore[arg-type]
    try:
        part = _calendar_part(list(_leaves(mail, 0)))
        if part is not None:
            answer = read_answer(part)
            verdict = verdict_on(mail, trusted, answer.attendee.rpartition("@")[2])
            return Incoming(kind=Kind.ANSWER, answer=answer, verdict=verdict, **known)  # type: ignore[arg-type]
    except UnusableReply as unusable:
        return Incoming(kind=Kind.UNUSABLE, problem=unusable.problem, words=_words(mail), **known)  # type: ignore[arg-type]
    kind = Kind.AUTOMATIC if known["automatic"] else Kind.PERSONAL
    return Incoming(kind=kind, words=_words(mail), **known)  # type: ignore[arg-type]


def _leaves(mail: Message, level: int) -> Iterator[Message]:
    """Every part that holds no other, all multipart kinds alike (RFC 6047 section 2.4)."""
    if level > LEVELS_MAX:
        raise UnusableReply(Problem.TOO_DEEP)
    if mail.is_multipart():
        for part in mail.get_payload():
            if isinstance(part, Message):
                yield from _leaves(part, level + 1)
    else:
        yield mail


def _calendar_part(leaves: Sequence[Message]) -> bytes | None:
    """The bytes of the calendar part to read: the first with a method parameter, else the first whose own METHOD asks
    something of us. None when there is none at all."""
    parts = [part for part in leaves if part.get_content_type() in CALENDAR_TYPES]
    for part in parts:
        if part.get_content_type() == "text/calendar" and part.get_param("method"):
            return _octets(part)
    for part in parts:
        octets = _octets(part)
        try:
            if method_of(octets) is not Asks.OTHER:
                return octets
        except UnusableReply:
            continue
    return _octets(parts[0]) if parts else None


def _octets(part: Message) -> bytes:
    octets = part.get_payload(decode=True)
    if not isinstance(octets, bytes):
        raise UnusableReply(Problem.UNREADABLE)
    if len(octets) > PART_OCTETS_MAX:
        raise UnusableReply(Problem.TOO_BIG)
    charset = part.get_content_charset("utf-8")
    if charset in {"utf-8", "us-ascii", "ascii"}:
        return octets
    try:
        return octets.decode(charset).encode()
    except (LookupError, ValueError):
        return octets


def _words(mail: Message) -> str:
    """What a person can read in the mail: its plain text, else the words of its HTML; "" when it holds neither."""
    try:
        leaves = list(_leaves(mail, 0))
    except UnusableReply:
        return ""
    for kind, read in (("text/plain", str), ("text/html", words_of_html)):
        for part in leaves:
            octets = part.get_payload(decode=True) if part.get_content_type() == kind else None
            if isinstance(octets, bytes):
                words = plain_text(read(_decoded(octets, part.get_content_charset("utf-8"))))[:WORDS_LENGTH]
                if words:
                    return words
    return ""


def _decoded(octets: bytes, charset: str) -> str:
    try:
        return octets.decode(charset, "replace")
    except (LookupError, ValueError):  # a charset that nobody knows, or one that takes no replacement
        return octets.decode("utf-8", "replace")


def _header(mail: Message, name: str) -> str:
    value = mail.get(name)
    if value is None:
        return ""
    try:
        text = str(make_header(decode_header(str(value))))
    except (ValueError, LookupError, UnicodeError):
        text = str(value)
    return one_line(text)[:HEADER_LENGTH]


def _sender(mail: Message) -> str:
    """The one address of the From line, or "" where it is none or several."""
    lines = mail.get_all("From") or []
    if len(lines) != 1 or str(lines[0]).count("@") != 1:
        return ""
    try:
        return mail_address(parseaddr(str(lines[0]))[1])
    except AddressError:
        return ""


def _is_automatic(mail: Message) -> bool:
    """Whether a machine sent it (RFC 3834 section 5): then nobody is answered."""
    submitted = _header(mail, "Auto-Submitted").partition(";")[0].strip().lower()
    precedence = _header(mail, "Precedence").lower()
    return (
        submitted not in {"", "no"}
        or precedence in {"bulk", "junk", "list", "auto_reply"}
        or bool(mail.get("List-Id") or mail.get("X-Autoreply") or mail.get("X-Autorespond"))
        or _header(mail, "Return-Path") == "<>"
    )
