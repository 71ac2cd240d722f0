"""What the demo's mailbox has seen: an answer, a message, a mail that came back; and the calendar anybody may follow.

The mails are written here as calendar programs and mail servers write them, and taken in as any other.
"""

import datetime
from email.message import EmailMessage
from email.policy import SMTP

from django.conf import settings

from reedcrew.invites import feeds, incoming
from reedcrew.invites.calendar.events import PartStat
from reedcrew.invites.models import CalendarEntry, IncomingMail, OutgoingMail
from reedcrew.people.models import Account, Group
from reedcrew.workdays.models import SignUp, WorkDay

HOUR = datetime.timedelta(hours=1)
MESSAGE = (
    "Hello,\n\nI come by bicycle along the dike. Is there a place at the landing where I can lock it, "
    "and may my sister have a look from the shore?\n\nThank you!"
)


def fill_mailbox(group: Group, day: WorkDay, organizer: Account, now: datetime.datetime) -> list[IncomingMail]:
    """Let the last hours' mail come in, about the sign-ups of ``day``, and open the group's public calendar."""
    feeds.open_group_feed(group=group, actor=organizer, now=now)
    confirmed = CalendarEntry.objects.standing(day).filter(sign_up__state=SignUp.State.CONFIRMED)
    entries = list(confirmed.filter(sign_up__member__guardian=None).order_by("sign_up__number"))
    if len(entries) < 3:
        return []
    accepts, writes, bounces = entries[-3:]
    mails = (
        (_accepted(accepts, now - 4 * HOUR), "", now - 4 * HOUR),
        (_message(writes), "", now - 3 * HOUR),
        (_returned(bounces.address), _envelope_of(bounces), now - 2 * HOUR),
    )
    return [incoming.take_in(raw=raw, envelope_to=to, now=at) for raw, to, at in mails]


# --- Private ---------------------------------------------------------------------------------------------------------


def _mail(sender: str, subject: str, name: str) -> EmailMessage:
    mail = EmailMessage()
    mail["From"], mail["To"], mail["Subject"] = sender, settings.MAIL_FROM, subject
    mail["Message-ID"] = f"<{name}@demo.reedcrew.example>"
    return mail


def _accepted(entry: CalendarEntry, at: datetime.datetime) -> bytes:
    """A calendar's REPLY by RFC 5546 section 3.2.3."""
    lines = (
        *("BEGIN:VCALENDAR", "PRODID:-//Demo//Calendar//EN", "VERSION:2.0", "METHOD:REPLY", "BEGIN:VEVENT"),
        f"UID:{entry.uid}",
        f"DTSTAMP:{at:%Y%m%dT%H%M%SZ}",
        f"SEQUENCE:{entry.sequence}",
        f"ORGANIZER:mailto:{settings.MAIL_FROM}",
        f"ATTENDEE;PARTSTAT={PartStat.ACCEPTED.value}:mailto:{entry.address}",
        *("COMMENT:I bring a flask of tea.", "END:VEVENT", "END:VCALENDAR", ""),
    )
    mail = _mail(entry.address, "Accepted", "accepted")
    mail.set_content("Accepted.")
    mail.add_alternative("\r\n".join(lines).encode(), maintype="text", subtype="calendar", params={"method": "REPLY"})
    return mail.as_bytes(policy=SMTP)


def _message(entry: CalendarEntry) -> bytes:
    mail = _mail(entry.address, "Where to leave my bicycle?", "message")
    mail["In-Reply-To"] = entry.first_message_id
    mail.set_content(MESSAGE)
    return mail.as_bytes(policy=SMTP)


def _envelope_of(entry: CalendarEntry) -> str:
    return OutgoingMail.objects.filter(sign_up=entry.sign_up).latest("pk").envelope_from


def _returned(address: str) -> bytes:
    """A mail server's report by RFC 3464: there is no such mailbox."""
    return "\r\n".join(
        (
            *("Return-Path: <>", "From: MAILER-DAEMON@mail.example", f"To: {settings.MAIL_FROM}"),
            *("Subject: Your mail was not delivered", "Message-ID: <returned@mail.example>", "MIME-Version: 1.0"),
            'Content-Type: multipart/report; report-type=delivery-status; boundary="part"',
            *("", "--part", "Content-Type: text/plain", "", "Your mail was not delivered.", "--part"),
            *("Content-Type: message/delivery-status", "", "Reporting-MTA: dns; mail.example", ""),
            *(f"Final-Recipient: rfc822; {address}", "Action: failed", "Status: 5.1.1"),
            *("Diagnostic-Code: smtp; 550 5.1.1 no such mailbox", "", "--part--", ""),
        )
    ).encode()
