"""Mails as calendar programs, mail servers and people send them, built by hand: nothing here is taken from our code."""

from collections.abc import Sequence
from email.message import EmailMessage, Message
from email.policy import SMTP

ORGANIZER = "days@reedcrew.example"


def reply_calendar(
    *,
    uid: str,
    attendee: str,
    partstat: str = "DECLINED",
    method: str = "REPLY",
    organizer: str | None = ORGANIZER,
    sequence: int | str | None = 0,
    dtstamp: str | None = "20260811T080000Z",
    more: Sequence[str] = (),
    events: int = 1,
) -> bytes:
    """A calendar object by RFC 5546 section 3.2.3, with or without what the given test leaves out."""
    event = [
        "BEGIN:VEVENT",
        f"UID:{uid}",
        *([f"DTSTAMP:{dtstamp}"] if dtstamp else []),
        *([f"ORGANIZER:mailto:{organizer}"] if organizer else []),
        *([f"ATTENDEE;PARTSTAT={partstat}:mailto:{attendee}"] if attendee else []),
        *([f"SEQUENCE:{sequence}"] if sequence is not None else []),
        *more,
        "END:VEVENT",
    ]
    lines = ["BEGIN:VCALENDAR", "PRODID:-//Somebody//Calendar//EN", "VERSION:2.0", f"METHOD:{method}"]
    return "\r\n".join([*lines, *(event * events), "END:VCALENDAR", ""]).encode()


def calendar_mail(
    calendar: bytes,
    *,
    sender: str,
    method: str | None = "REPLY",
    attached_too: bool = False,
    headers: Sequence[tuple[str, str]] = (),
    message_id: str = "<answer-1@mail.example>",
    charset: str = "UTF-8",
) -> bytes:
    """A mail of RFC 6047 with the calendar in an alternative, as most programs send it."""
    mail = EmailMessage()
    for name, value in headers:
        mail[name] = value
    mail["From"] = sender
    mail["To"] = ORGANIZER
    mail["Subject"] = "Declined: Cutting"
    mail["Message-ID"] = message_id
    mail.set_content("Somebody has declined.")
    mail.add_alternative("<p>Somebody has declined.</p>", subtype="html")
    mail.add_alternative(calendar, maintype="text", subtype="calendar")
    part = list(mail.iter_parts())[-1]
    kind = "text/calendar" + (f"; method={method}" if method else "") + f"; charset={charset}"
    part.replace_header("Content-Type", kind)
    if attached_too:
        mail.add_attachment(calendar, maintype="application", subtype="ics", filename="invite.ics")
    return mail.as_bytes(policy=SMTP)


def plain_mail(words: str, *, sender: str, headers: Sequence[tuple[str, str]] = ()) -> bytes:
    """A mail that a person, or an absence note, writes."""
    mail = EmailMessage()
    for name, value in headers:
        mail[name] = value
    mail["From"] = sender
    mail["To"] = ORGANIZER
    mail["Subject"] = "Re: Work day"
    mail["Message-ID"] = "<words-1@mail.example>"
    mail.set_content(words)
    return mail.as_bytes(policy=SMTP)


def delivery_report(*, status: str, recipient: str, action: str = "failed", returned_id: str = "") -> bytes:
    """A multipart/report by RFC 3464, with the headers of the mail that came back."""
    lines = [
        "Return-Path: <>",
        "From: MAILER-DAEMON@mail.example",
        f"To: {ORGANIZER}",
        "Subject: Undelivered",
        "Message-ID: <report-1@mail.example>",
        "MIME-Version: 1.0",
        'Content-Type: multipart/report; report-type=delivery-status; boundary="edge"',
        "",
        "--edge",
        "Content-Type: text/plain",
        "",
        "Your mail was not delivered.",
        "--edge",
        "Content-Type: message/delivery-status",
        "",
        "Reporting-MTA: dns; mail.example",
        "",
        f"Final-Recipient: rfc822; {recipient}",
        f"Action: {action}",
        f"Status: {status}",
        "Diagnostic-Code: smtp; 550 no such mailbox",
        "",
        "--edge",
        "Content-Type: text/rfc822-headers",
        "",
        f"Message-ID: {returned_id or '<nothing@mail.example>'}",
        "Subject: Work day",
        "",
        "--edge--",
        "",
    ]
    return "\r\n".join(lines).encode()


def nested(levels: int, innermost: bytes) -> bytes:
    """Multiparts within one another."""
    mail: Message = Message()
    mail["Content-Type"] = "text/calendar; method=REPLY"
    mail.set_payload(innermost.decode())
    for level in range(levels):
        outer = Message()
        outer["Content-Type"] = f'multipart/mixed; boundary="edge{level}"'
        outer.set_payload([mail])
        mail = outer
    mail["From"] = "a@example.org"
    return mail.as_bytes(policy=SMTP)
