"""Background work of the mail: sending, reading, writing what is due."""

import logging

from celery import shared_task
from django.utils import timezone

from reedcrew.invites import mailings, outbox, poller
from reedcrew.web.wake import wake

logger = logging.getLogger(__name__)


@shared_task(name="invites.send_due")
def send_due() -> None:
    """Send every mail that is due over one connection; once more when there were more than one run takes."""
    mails = outbox.due_mails(timezone.now())
    with outbox.Line() as line:
        for mail_pk in mails:
            outbox.deliver(mail_pk=mail_pk, now=timezone.now(), line=line)
    if len(mails) == outbox.MAILS_A_SWEEP:
        wake("invites.send_due")


@shared_task(name="invites.read_mailbox")
def read_mailbox() -> None:
    """Take in what came by mail."""
    poller.read_mailbox(timezone.now())


@shared_task(name="invites.write_mailings")
def write_mailings() -> None:
    """Write the reminders and thanks whose time has come."""
    now = timezone.now()
    for day_pk, kind in mailings.due(now):
        try:
            mailings.write_mailing(day_pk=day_pk, kind=kind, now=now)
        except Exception:  # what is wrong with one day must not keep the others' people waiting
            logger.exception("The mailing %s of day %s could not be written", kind, day_pk)
