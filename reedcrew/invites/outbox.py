"""Sending the outbox: each row is claimed, tried and marked; a lost mark may repeat a mail, never lose it."""

import datetime
import logging
import smtplib
from email.message import Message

from django.core.mail import EmailMessage, get_connection
from django.db import transaction
from django.db.models import F

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


def deliver(*, mail_pk: int, now: datetime.datetime) -> OutgoingMail | None:
    """Try to send one waiting mail that is due. None when it is not due, being sent already, or sent."""
    claimed = OutgoingMail.objects.due(now).filter(pk=mail_pk).order_by().first()
    if claimed is None:
        return None
    won = OutgoingMail.objects.filter(
        pk=mail_pk, state=OutgoingMail.State.WAITING, next_try_at=claimed.next_try_at
    ).update(next_try_at=now + WAITS[min(claimed.tries, len(WAITS) - 1)], tries=F("tries") + 1)
    if not won:
        return None
    try:
        get_connection().send_messages([StoredMail(claimed)])
    except (smtplib.SMTPException, OSError) as error:
        return _failed(claimed, error)
    claimed.state, claimed.sent_at, claimed.last_error = OutgoingMail.State.SENT, now, ""
    claimed.save(update_fields=["state", "sent_at", "last_error"])
    return claimed


def due_mails(now: datetime.datetime) -> list[int]:
    """Keys of the mails to try now: what a lost wake-up or a failed try left behind."""
    return list(OutgoingMail.objects.due(now).values_list("pk", flat=True)[:MAILS_A_SWEEP])


@transaction.atomic
def send_again(*, mail: OutgoingMail, actor: Account, now: datetime.datetime) -> OutgoingMail:
    """Put a refused mail back, for instance after the receiver mended the mailbox. Raises MailNotRefused."""
    mail = OutgoingMail.objects.select_for_update(of=("self",)).select_related("group").get(pk=mail.pk)
    if mail.state != OutgoingMail.State.REFUSED:
        raise MailNotRefused(state=mail.get_state_display())
    mail.state, mail.tries, mail.next_try_at = OutgoingMail.State.WAITING, 0, now
    mail.save(update_fields=["state", "tries", "next_try_at"])
    record(group=mail.group, actor=actor, at=now, deed="mail sent again", subject=mail)
    wake("invites.send_mail", mail.pk)
    return mail


def _failed(mail: OutgoingMail, error: Exception) -> OutgoingMail:
    logger.warning("Mail %s could not be sent: %s", mail.pk, type(error).__name__)
    mail.last_error = f"{type(error).__name__}: {error}"[:300]
    fields = ["last_error"]
    if _is_permanent(error):
        mail.state = OutgoingMail.State.REFUSED
        fields.append("state")
    mail.save(update_fields=fields)
    return mail


def _is_permanent(error: Exception) -> bool:
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return all(code >= PERMANENT for code, _text in error.recipients.values())
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return False  # the operator's matter; the mail itself is not refused
    return isinstance(error, smtplib.SMTPResponseException) and error.smtp_code >= PERMANENT
