"""Background sending: wake, fetch by key, call the outbox."""

from celery import shared_task
from django.utils import timezone

from reedcrew.invites import mailings, outbox, poller


@shared_task(name="invites.send_mail")
def send_mail(mail_pk: int) -> None:
    outbox.deliver(mail_pk=mail_pk, now=timezone.now())


@shared_task(name="invites.sweep")
def sweep() -> None:
    """Try every mail that is due."""
    for mail_pk in outbox.due_mails(timezone.now()):
        outbox.deliver(mail_pk=mail_pk, now=timezone.now())


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
