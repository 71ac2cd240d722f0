"""Background work of the mail: sending, reading, writing what is due."""

from celery import shared_task
from django.utils import timezone

from reedcrew.invites import mailings, outbox, poller
from reedcrew.web.wake import wake


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
        mailings.write_mailing(day_pk=day_pk, kind=kind, now=now)
