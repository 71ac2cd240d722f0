"""Mails as bytes, ready to be stored and sent again unchanged: RFC 5322 and 2045, and RFC 6047 for calendar mails.

Built here rather than by the framework, whose calendar part would go out as 8bit (RFC 6047 section 2.5 wants an
encoding where a hop may be 7 bit) and whose bytes would differ from one rendering to the next.
"""

import hashlib
import re
from base64 import encodebytes
from dataclasses import dataclass
from datetime import UTC, datetime
from email.charset import QP, Charset
from email.header import Header
from email.utils import format_datetime

from reedcrew.invites.calendar.events import CalendarEvent, Method, is_web_address
from reedcrew.invites.calendar.message import cancel_bytes, request_bytes
from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.plaintext import one_line, plain_text
from reedcrew.web.addresses import mail_address

SUBJECT_LENGTH = 200  # characters kept; far below the 998 octets of a line (RFC 5322 section 2.1.1) with any encoding
HEADER_LINE = 76  # RFC 2047 section 2: longest line that holds an encoded word
LONGEST_WORD = 60  # what surely fits a line beside the name of the field

_MESSAGE_ID = re.compile(r"<([A-Za-z0-9!#$%&'*+/=?^_`{|}~.-]{1,128}@[A-Za-z0-9.-]{1,100})>")  # RFC 5322 section 3.6.4
_CRLF = "\r\n"

# Quoted-printable words: a name stays half readable where a receiver shows them raw.
_WORDS = Charset("utf-8")
_WORDS.header_encoding = QP


class MailError(ValueError):
    """The mail cannot be built; the message names the field."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainMail:
    """A mail from the service to one person, in plain text and HTML.

    ``message_id`` is stable, with angle brackets; ``thread`` is the Message-ID of the first mail of the same matter,
    or empty. ``date`` is aware. ``unsubscribe_url`` adds the headers of a list mail and belongs to reminders only;
    its page must act on POST alone. There is no way to name a second recipient. Raises MailError.
    """

    sender: Mailbox
    recipient: Mailbox
    subject: str
    text: str
    html: str
    message_id: str
    date: datetime
    thread: str = ""
    unsubscribe_url: str = ""

    def __post_init__(self) -> None:
        if not _MESSAGE_ID.fullmatch(self.message_id):
            raise MailError("message_id: must be <something@domain>")
        if self.thread and not _MESSAGE_ID.fullmatch(self.thread):
            raise MailError("thread: must be <something@domain> or empty")
        if self.date.tzinfo is None:
            raise MailError("date: must be aware")
        if self.unsubscribe_url and not is_web_address(self.unsubscribe_url):
            raise MailError("unsubscribe_url: must be an http or https address")
        if not one_line(self.subject):
            raise MailError("subject: must not be empty")

    def as_bytes(self) -> bytes:
        """The whole mail with CRLF line ends in 7 bit. The same mail gives the same bytes."""
        return _mail_bytes(self, [])


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarMail:
    """A mail that carries one event for the person it invites.

    Sender and recipient are the event's organizer and attendee: receivers answer the organizer and offer buttons only
    to the attendee's own mailbox. Other fields as in PlainMail. Raises MailError, and EventError from the calendar
    part.
    """

    event: CalendarEvent
    method: Method
    subject: str
    text: str
    html: str
    message_id: str
    date: datetime
    thread: str = ""

    def as_bytes(self) -> bytes:
        """The whole mail with CRLF line ends in 7 bit, the calendar part last (RFC 6047 section 2.4)."""
        content = request_bytes(self.event) if self.method is Method.REQUEST else cancel_bytes(self.event)
        mail = PlainMail(
            sender=self.event.organizer,
            recipient=self.event.attendee,
            subject=self.subject,
            text=self.text,
            html=self.html,
            message_id=self.message_id,
            date=self.date,
            thread=self.thread,
        )
        # RFC 6047 section 2.4: method equals METHOD, charset is said. No disposition, no name: some programs then
        # show a file instead of an invitation.
        return _mail_bytes(mail, [_part(f"text/calendar; method={self.method.value}; charset=UTF-8", content)])


def new_message_id(token: str, *, domain: str) -> str:
    """A Message-ID from a token of the caller that is unique for ever, such as a random UUID; raises MailError."""
    message_id = f"<{token}@{mail_address(f'mail@{domain}').rpartition('@')[2]}>"
    if not _MESSAGE_ID.fullmatch(message_id):
        raise MailError("token: must be letters, digits and plain signs")
    return message_id


def _mail_bytes(mail: PlainMail, more: list[bytes]) -> bytes:
    # A boundary with "=_" occurs in no base64 text (RFC 2045 section 6.7), and one made from the Message-ID is stable.
    boundary = f"=_{hashlib.sha256(mail.message_id.encode()).hexdigest()[:32]}"
    fields = [
        ("Date", format_datetime(mail.date.astimezone(UTC))),
        ("From", _mailbox(mail.sender, "From")),
        ("To", _mailbox(mail.recipient, "To")),
        ("Subject", _text(one_line(mail.subject)[:SUBJECT_LENGTH], "Subject")),
        ("Message-ID", mail.message_id),
    ]
    if mail.thread and mail.thread != mail.message_id:
        fields += [("In-Reply-To", mail.thread), ("References", mail.thread)]  # RFC 5322 section 3.6.4
    fields += [
        ("Auto-Submitted", "auto-generated"),  # RFC 3834 section 5
        ("X-Auto-Response-Suppress", "OOF, AutoReply"),  # asks for silence of absence notes, not of answers
    ]
    if mail.unsubscribe_url:
        fields += [
            ("List-Unsubscribe", f"<{mail.unsubscribe_url}>"),  # RFC 2369 section 3.2
            ("List-Unsubscribe-Post", "List-Unsubscribe=One-Click"),  # RFC 8058 section 3.1
        ]
    fields += [("MIME-Version", "1.0"), ("Content-Type", f'multipart/alternative;{_CRLF} boundary="{boundary}"')]
    parts = [
        _part("text/plain; charset=UTF-8", _lines(mail.text)),
        _part("text/html; charset=UTF-8", _lines(mail.html)),
        *more,
    ]
    # RFC 2046 section 5.1.1: the line end before a delimiter belongs to the delimiter.
    delimiter = f"--{boundary}".encode()
    body = b"".join(delimiter + b"\r\n" + part + b"\r\n" for part in parts)
    return _head(fields) + b"\r\n" + body + delimiter + b"--\r\n"


def _head(fields: list[tuple[str, str]]) -> bytes:
    return "".join(f"{name}: {value}{_CRLF}" for name, value in fields).encode("ascii")


def _part(content_type: str, content: bytes) -> bytes:
    head = _head([("Content-Type", content_type), ("Content-Transfer-Encoding", "base64")])
    return head + b"\r\n" + encodebytes(content).replace(b"\n", b"\r\n")


def _lines(value: str) -> bytes:
    # RFC 2045 section 6.8: line ends of text are CRLF before base64.
    return (plain_text(value) + "\n").replace("\n", _CRLF).encode()


def _mailbox(mailbox: Mailbox, header: str) -> str:
    """``name <address>``: an ASCII name quoted (RFC 5322 section 3.2.4), any other in encoded words (RFC 2047)."""
    if not mailbox.name:
        return mailbox.address
    # The name holds neither a double quote nor a backslash: see clean_name.
    words = f'"{mailbox.name}"' if _goes_raw(mailbox.name) else _text(mailbox.name, header)
    last_line = len(words.rpartition(_CRLF)[2]) + len(header)
    fold = _CRLF if last_line + len(mailbox.address) > HEADER_LINE - len(":  <>") else ""
    return f"{words}{fold} <{mailbox.address}>"


def _text(text: str, header: str) -> str:
    charset = "us-ascii" if _goes_raw(text) else _WORDS
    return Header(text, charset, header_name=header, maxlinelen=HEADER_LINE).encode(linesep=_CRLF)


def _goes_raw(text: str) -> bool:
    # What merely looks like an encoded word has to be encoded, or the receiver would decode it. A word longer than a
    # line can be folded only when it is encoded.
    return text.isascii() and "=?" not in text and all(len(word) <= LONGEST_WORD for word in text.split())
