"""Mail of an installation without a mail server: one file a message in a folder, read back for the site's pages."""

import os
import re
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from email import message_from_bytes, policy
from email.message import Message
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend
from django.utils.timezone import now

# Long lines of a calendar are folded: a line break and a blank go on with the line (RFC 5545, section 3.1).
_FOLD = re.compile(r"\r?\n[ \t]")
# Names sort by time of writing; the random end keeps two messages of one microsecond apart.
NAME = re.compile(r"\d{8}T\d{12}-[0-9a-f]{8}\.eml")


class FolderBackend(BaseEmailBackend):
    """Django's mail backend that writes each message to settings.MAIL_DIR; whoever should get it stands in the file."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        """Write every message that has a recipient, and answer how many. A full disk raises OSError."""
        written = 0
        for message in email_messages:
            recipients = message.recipients()
            if not recipients:
                continue
            built = message.message()
            built["X-Envelope-To"] = ", ".join(recipients)  # also names those whom no other header names
            write(Path(settings.MAIL_DIR), built.as_bytes(linesep="\r\n"))
            written += 1
        return written


def write(folder: Path, content: bytes) -> str:
    """Store one message and give its name. A reader sees the whole file or none."""
    folder.mkdir(parents=True, exist_ok=True)
    name = f"{now():%Y%m%dT%H%M%S%f}-{secrets.token_hex(4)}.eml"
    unfinished = folder / f".{name}"
    with unfinished.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    unfinished.replace(folder / name)
    return name


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredMail:
    """A message of the folder as its page shows it. HTML is left out on purpose: it is never shown as live HTML."""

    name: str
    subject: str
    sender: str
    recipients: str
    written: datetime | None
    text: str
    calendar: str
    calendar_method: str
    attachments: tuple[str, ...]


def names(folder: Path) -> list[str]:
    """Names of all stored messages, newest first. An absent folder has none."""
    if not folder.is_dir():
        return []
    return sorted((entry.name for entry in os.scandir(folder) if NAME.fullmatch(entry.name)), reverse=True)


def path_of(folder: Path, name: str) -> Path | None:
    """The file of a message, or None for a name that is not one of the folder's."""
    if not NAME.fullmatch(name):
        return None
    path = folder / name
    return path if path.is_file() else None


def read(path: Path) -> StoredMail:
    """Read one message. Parts that cannot be decoded are shown with replacement characters instead of failing."""
    message = message_from_bytes(path.read_bytes(), policy=policy.default)
    plain = message.get_body(("plain",))
    calendar = next((part for part in message.walk() if part.get_content_type() == "text/calendar"), None)
    return StoredMail(
        name=path.name,
        subject=str(message.get("Subject", "")),
        sender=str(message.get("From", "")),
        recipients=str(message.get("X-Envelope-To") or message.get("To", "")),
        written=_written(message.get("Date")),
        text=_text_of(plain),
        calendar=_FOLD.sub("", _text_of(calendar)),
        calendar_method=str(calendar.get_param("method") or "") if calendar is not None else "",
        attachments=tuple(part.get_filename() or part.get_content_type() for part in message.iter_attachments()),
    )


def _written(header: Any) -> datetime | None:
    """The moment of a Date header, as the parser of the standard library reads it; a date without a zone is in UTC."""
    moment = getattr(header, "datetime", None)
    return moment.replace(tzinfo=moment.tzinfo or UTC) if isinstance(moment, datetime) else None


def _text_of(part: "Message[Any, Any] | None") -> str:
    if part is None:
        return ""
    payload = part.get_payload(decode=True)
    if not isinstance(payload, bytes):
        return ""
    try:
        return payload.decode(part.get_content_charset() or "utf-8", errors="replace")
    except LookupError:  # a charset that nobody knows
        return payload.decode("utf-8", errors="replace")
