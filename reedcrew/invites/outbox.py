"""Sending the outbox: each row is claimed, tried and marked; a lost mark may repeat a mail, never lose it."""

import contextlib
import datetime
import logging
import re
import smtplib
from collections import Counter
from email.message import Message
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.db import transaction
from django.db.models import Count, F

from reedcrew.invites.addresses import REFUSED, note_fault
from reedcrew.invites.errors import MailNotRefused
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.web.wake import wake

logger = logging.getLogger(__name__)

# Waits after the first, second, … failed try; the last one repeats. A claim holds a row as long as its wait, so that
# two workers never send one mail at once.
WAITS = tuple(datetime.timedelta(minutes=minutes) for minutes in (1, 5, 15, 60, 240))
MAILS_A_SWEEP = 200
MAILS_LOOKED_AT = 5_000  # of what is due, so that one slow domain does not hold up the others
A_MINUTE = datetime.timedelta(minutes=1)
STATUS = re.compile(r"\b5\.\d{1,3}\.\d{1,3}\b")
# What a server says of one mail; after any other fault the connection is of no use.
ABOUT_ONE_MAIL = (smtplib.SMTPRecipientsRefused, smtplib.SMTPSenderRefused, smtplib.SMTPDataError)
PERMANENT = 500  # SMTP answers from here on are final (RFC 5321 section 4.2.1)


class _StoredBytes(Message):
    """A message whose bytes exist already: every try sends the same ones."""

    def __init__(self, raw: bytes) -> None:
        super().__init__()
        self._raw = raw

    def as_bytes(self, *args: object, **kwargs: object) -> bytes:
        return self._raw


class StoredMail(EmailMessage):
    """An outbox row as Django's mail backends take it."""

    def __init__(self, mail: OutgoingMail) -> None:
        super().__init__(subject=mail.subject, from_email=mail.envelope_from, to=[mail.to_address])
        self._stored = _StoredBytes(bytes(mail.raw))

    def message(self) -> Message:
        return self._stored


class Line:
    """One connection to the mail server for many mails: opened for the first, and anew after it broke."""

    def __init__(self) -> None:
        self._connection: Any = None

    def __enter__(self) -> "Line":
        return self

    def __exit__(self, *exception: object) -> None:
        self.close()

    def send(self, mail: OutgoingMail) -> None:
        """Send a row's bytes. Raises SMTPException or OSError; what a server says of one mail leaves the line open."""
        try:
            if self._connection is None:
                self._connection = get_connection()
                self._connection.open()
            self._connection.send_messages([StoredMail(mail)])
        except (smtplib.SMTPException, OSError) as error:
            if not isinstance(error, ABOUT_ONE_MAIL):
                self.close()
            raise

    def close(self) -> None:
        if self._connection is not None:
            with contextlib.suppress(smtplib.SMTPException, OSError):
                self._connection.close()
            self._connection = None


def deliver(*, mail_pk: int, now: datetime.datetime, line: Line | None = None) -> OutgoingMail | None:
    """Try to send one waiting mail that is due, on an open line where one is given.

    None when it is not due, being sent already, or sent.
    """
    claimed = OutgoingMail.objects.due(now).filter(pk=mail_pk).order_by().first()
    if claimed is None:
        return None
    won = OutgoingMail.objects.filter(
        pk=mail_pk, state=OutgoingMail.State.WAITING, next_try_at=claimed.next_try_at
    ).update(next_try_at=now + WAITS[min(claimed.tries, len(WAITS) - 1)], tries=F("tries") + 1)
    if not won:
        return None
    try:
        if line is not None:
            line.send(claimed)
        else:
            with Line() as own:
                own.send(claimed)
    except (smtplib.SMTPException, OSError) as error:
        return _failed(claimed, error, now)
    claimed.state, claimed.sent_at, claimed.last_error = OutgoingMail.State.SENT, now, ""
    claimed.save(update_fields=["state", "sent_at", "last_error"])
    return claimed


def due_mails(now: datetime.datetime) -> list[int]:
    """Keys of the mails to try now, the oldest first; of each domain at most as many as it is sent in a minute.

    What is over that stays due: the next sweep finds it. Two queries.
    """
    since = now - A_MINUTE
    recent = OutgoingMail.objects.filter(state=OutgoingMail.State.SENT, sent_at__gt=since).values_list("domain")
    sent = Counter(dict(recent.annotate(number=Count("pk")).order_by()))
    found = []
    for pk, domain in OutgoingMail.objects.due(now).values_list("pk", "domain")[:MAILS_LOOKED_AT].iterator():
        if sent[domain] < settings.MAIL_DOMAIN_A_MINUTE:
            sent[domain] += 1
            found.append(pk)
    return found[:MAILS_A_SWEEP]


@transaction.atomic
def send_again(*, mail: OutgoingMail, actor: Account, now: datetime.datetime) -> OutgoingMail:
    """Put a refused mail back, for instance after the receiver mended the mailbox. Raises MailNotRefused."""
    mail = OutgoingMail.objects.select_for_update(of=("self",)).select_related("group").get(pk=mail.pk)
    if mail.state != OutgoingMail.State.REFUSED:
        raise MailNotRefused(state=mail.get_state_display())
    mail.state, mail.tries, mail.next_try_at = OutgoingMail.State.WAITING, 0, now
    mail.save(update_fields=["state", "tries", "next_try_at"])
    record(group=mail.group, actor=actor, at=now, deed="mail sent again", subject=mail)
    wake("invites.send_due")
    return mail


def _failed(mail: OutgoingMail, error: Exception, now: datetime.datetime) -> OutgoingMail:
    logger.warning("Mail %s could not be sent: %s", mail.pk, type(error).__name__)
    mail.last_error = f"{type(error).__name__}: {error}"[:300]
    fields = ["last_error"]
    if _is_permanent(error):
        mail.state = OutgoingMail.State.REFUSED
        fields.append("state")
        note_fault(address=mail.to_address, status=_status(mail.last_error), reason=mail.last_error, now=now)
    mail.save(update_fields=fields)
    return mail


def _status(error: str) -> str:
    """The code of RFC 3463 that a server told, or the general one."""
    found = STATUS.search(error)
    return found.group(0) if found else REFUSED


def _is_permanent(error: Exception) -> bool:
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return all(code >= PERMANENT for code, _text in error.recipients.values())
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return False  # the operator's matter; the mail itself is not refused
    return isinstance(error, smtplib.SMTPResponseException) and error.smtp_code >= PERMANENT
