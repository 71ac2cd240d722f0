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
from django.db.models import Count

from reedcrew.invites import drafts
from reedcrew.invites.addresses import REFUSED, note_fault
from reedcrew.invites.errors import MailNotRefused
from reedcrew.invites.models import OutgoingMail
from reedcrew.invites.plaintext import plain_text
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.web.retrying import claim, next_try
from reedcrew.web.wake import wake

logger = logging.getLogger(__name__)

# Waits after the first, second, … failed try; the last one repeats, for about five days in all: RFC 5321 section
# 4.5.4.1 names four to five days as the least before giving up.
WAITS = tuple(datetime.timedelta(minutes=minutes) for minutes in (1, 5, 15, 60, 240))
TRIES_MAX = 33
# A claim keeps a mail from every other worker: longer than a conversation of a dozen steps of EMAIL_TIMEOUT takes.
# After a crash the mail is tried again when it ends.
CLAIM = datetime.timedelta(minutes=10)
MAILS_A_SWEEP = 200
ERROR_LENGTH = 300
MAILS_LOOKED_AT = 5_000  # of what is due, so that one slow domain does not hold up the others
A_MINUTE = datetime.timedelta(minutes=1)
STATUS = re.compile(r"\b5\.\d{1,3}\.\d{1,3}\b")
# What a server says of one mail; after any other fault the connection is of no use.
ABOUT_ONE_MAIL = (smtplib.SMTPRecipientsRefused, smtplib.SMTPSenderRefused, smtplib.SMTPDataError)
# What it says of the receiver or the text; of our own address or sign-in it speaks to the operator.
ABOUT_RECEIVER = (smtplib.SMTPRecipientsRefused, smtplib.SMTPDataError)
HANGS_UP = 421  # RFC 5321 section 3.8: the server closes the connection after this answer
PERMANENT = 500  # SMTP answers from here on are final (RFC 5321 section 4.2.1)
# ValueError: an address or a header that the mail library refuses, which must not hold up the mails behind it.
FAULTS = (smtplib.SMTPException, OSError, ValueError)


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
        """Send a row's bytes. Raises one of FAULTS; what a server says of one mail leaves the line open."""
        try:
            if self._connection is None:
                self._connection = get_connection()
                self._connection.open()
            self._connection.send_messages([StoredMail(mail)])
        except FAULTS as error:
            if not isinstance(error, ABOUT_ONE_MAIL) or _answer_of(error)[0] == HANGS_UP:
                self.close()
            raise

    def close(self) -> None:
        if self._connection is not None:
            with contextlib.suppress(smtplib.SMTPException, OSError):
                self._connection.close()
            self._connection = None


def deliver(*, mail_pk: int, now: datetime.datetime, line: Line | None = None) -> OutgoingMail | None:
    """Try to send one waiting mail that is due, on an open line where one is given.

    None when it is not due, being sent already, sent, or of no use any more because its day has passed.
    """
    claimed = OutgoingMail.objects.due(now).filter(pk=mail_pk).select_related("sign_up__day").order_by().first()
    if claimed is None:
        return None
    if claimed.is_pointless(now):
        OutgoingMail.objects.filter(pk=mail_pk).update(state=OutgoingMail.State.DROPPED)
        return None
    waiting = OutgoingMail.objects.filter(pk=mail_pk, state=OutgoingMail.State.WAITING)
    if not claim(waiting, seen=claimed.next_try_at, now=now, until=now + CLAIM):
        return None
    claimed.tries += 1
    try:
        drafts.write(claimed)
        if line is not None:
            line.send(claimed)
        else:
            with Line() as own:
                own.send(claimed)
    except FAULTS as error:
        return _failed(claimed, error, now)
    claimed.state, claimed.sent_at, claimed.last_error = OutgoingMail.State.SENT, now, ""
    claimed.save(update_fields=["state", "sent_at", "last_error"])
    return claimed


def due_mails(now: datetime.datetime) -> list[int]:
    """Keys of the mails to try now, the oldest first; of each domain at most as many as it is sent in a minute.

    Tries count, whatever came of them: a server that asks for patience gets it. What is over that stays due: the next
    sweep finds it. Two queries.
    """
    recent = OutgoingMail.objects.filter(tried_at__gt=now - A_MINUTE).values_list("domain")
    tried = Counter(dict(recent.annotate(number=Count("pk")).order_by()))
    found = []
    for pk, domain in OutgoingMail.objects.due(now).values_list("pk", "domain")[:MAILS_LOOKED_AT].iterator():
        if tried[domain] < settings.MAIL_DOMAIN_A_MINUTE:
            tried[domain] += 1
            found.append(pk)
    return found[:MAILS_A_SWEEP]


@transaction.atomic
def send_again(*, mail: OutgoingMail, actor: Account, now: datetime.datetime) -> OutgoingMail:
    """Put a refused mail back, for instance after the receiver mended the mailbox. Raises MailNotRefused."""
    mail = OutgoingMail.objects.select_for_update(no_key=True, of=("self",)).select_related("group").get(pk=mail.pk)
    if mail.state != OutgoingMail.State.REFUSED:
        raise MailNotRefused(state=mail.get_state_display())
    mail.state, mail.tries, mail.next_try_at = OutgoingMail.State.WAITING, 0, now
    mail.save(update_fields=["state", "tries", "next_try_at"])
    record(group=mail.group, actor=actor, at=now, deed="mail sent again", subject=mail)
    wake("invites.send_due")
    return mail


def _failed(mail: OutgoingMail, error: Exception, now: datetime.datetime) -> OutgoingMail:
    logger.warning("Mail %s could not be sent: %s", mail.pk, type(error).__name__)
    code, said = _answer_of(error)
    mail.last_error = plain_text(f"{type(error).__name__}: {code or ''} {said}")[:ERROR_LENGTH]
    mail.next_try_at = next_try(tries=mail.tries, waits=WAITS, now=now)
    if isinstance(error, ABOUT_RECEIVER) and code >= PERMANENT:
        mail.state = OutgoingMail.State.REFUSED
        note_fault(address=mail.to_address, status=_status(said), reason=mail.last_error, now=now)
    elif mail.tries >= TRIES_MAX:
        mail.state = OutgoingMail.State.REFUSED
    mail.save(update_fields=["last_error", "next_try_at", "state"])
    return mail


def _answer_of(error: Exception) -> tuple[int, str]:
    """Code and words of a server's answer; 0 and the error's own words where none came."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        code, said = next(iter(error.recipients.values()), (0, b""))
        return code, said.decode("utf-8", "replace")
    if isinstance(error, smtplib.SMTPResponseException):
        told = error.smtp_error
        return error.smtp_code, told.decode("utf-8", "replace") if isinstance(told, bytes) else str(told)
    return 0, str(error)


def _status(said: str) -> str:
    """The code of RFC 3463 that a server told, or the general one."""
    found = STATUS.search(said)
    return found.group(0) if found else REFUSED
