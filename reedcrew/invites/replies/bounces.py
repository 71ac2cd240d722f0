"""Reports that a mail could not be delivered (RFC 3464), and which mail they are about."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from email.message import Message

from reedcrew.invites.plaintext import one_line
from reedcrew.web.addresses import AddressError, mail_address

REASON_LENGTH = 200
_STATUS = re.compile(r"\b([245])\.(\d{1,3})\.(\d{1,3})\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounce:
    """A delivery report on one recipient. ``status`` is the three-part code of RFC 3463, "" when it tells none.

    ``message_id`` is that of the returned mail, "" when it was not returned.
    """

    failed: bool  # Action: failed; a delay or a success is no failure
    status: str
    recipient: str
    reason: str
    message_id: str

    @property
    def is_permanent(self) -> bool:
        return self.failed and self.status.startswith("5")

    @property
    def no_such_mailbox(self) -> bool:
        """5.1.x: the address itself is wrong (RFC 3463 section 3.2)."""
        return self.failed and self.status.startswith("5.1.")


def read_bounce(mail: Message) -> Bounce | None:
    """The report in a mail, or None when it is none: a multipart/report of delivery, or mail from nobody to nobody's
    calendar (a null return path and no calendar part)."""
    if mail.get_content_type() == "multipart/report" and str(mail.get_param("report-type", "")).lower() in {
        "delivery-status",
        "",
    }:
        return _reported(mail)
    if str(mail.get("Return-Path", "")).strip() == "<>" and not any(
        part.get_content_type() in {"text/calendar", "application/ics"} for part in _parts(mail)
    ):
        text = next((_text(part) for part in _parts(mail) if part.get_content_type() == "text/plain"), "")
        status = _STATUS.search(text)
        return Bounce(
            failed=True, status=status.group(0) if status else "", recipient="", reason="", message_id=_returned(mail)
        )
    return None


# --- Private ---------------------------------------------------------------------------------------------------------


def _parts(mail: Message) -> Iterator[Message]:
    yield from mail.walk()


def _reported(mail: Message) -> Bounce:
    fields: dict[str, str] = {}
    for part in _parts(mail):
        if part.get_content_type() == "message/delivery-status":
            for block in part.get_payload() if part.is_multipart() else []:
                if isinstance(block, Message) and block.get("Action"):
                    fields = {name.lower(): one_line(str(value)) for name, value in block.items()}
    status = _STATUS.search(fields.get("status", ""))
    return Bounce(
        failed=fields.get("action", "failed").lower() == "failed",
        status=status.group(0) if status else "",
        recipient=_address(fields.get("final-recipient", "") or fields.get("original-recipient", "")),
        reason=fields.get("diagnostic-code", "")[:REASON_LENGTH],
        message_id=_returned(mail),
    )


def _address(told: str) -> str:
    try:
        return mail_address(told.rpartition(";")[2].strip().strip("<>"))
    except AddressError:
        return ""


def _returned(mail: Message) -> str:
    """The Message-ID of the mail that came back, whole or by its headers."""
    for part in _parts(mail):
        kind = part.get_content_type()
        if kind == "message/rfc822" and part.is_multipart():
            inner = part.get_payload(0)
            if isinstance(inner, Message) and inner.get("Message-ID"):
                return one_line(str(inner["Message-ID"]))
        if kind == "text/rfc822-headers" or (kind == "text/plain" and mail.get_content_type() != "multipart/report"):
            found = re.search(r"^Message-ID:\s*(<[^>\s]+>)", _text(part), re.IGNORECASE | re.MULTILINE)
            if found:
                return found.group(1)
    return ""


def _text(part: Message) -> str:
    octets = part.get_payload(decode=True)
    return octets.decode("utf-8", "replace") if isinstance(octets, bytes) else ""
