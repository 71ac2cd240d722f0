"""Giving other programs' addresses, and keeping them."""

import datetime
import secrets
import uuid
from collections.abc import Collection

from django.db import transaction

from reedcrew.api import errors
from reedcrew.api.addresses import ask_reachable
from reedcrew.api.models import Event, Webhook
from reedcrew.api.services.deliveries import send_trial
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.web.wake import wake

SECRET_OCTETS = 32  # 256 random bits
BEGIN = "hook_"
BOTH_HOLD = datetime.timedelta(days=1)  # how long the secret before goes on signing
WEBHOOKS_MOST = 20  # of one group at once (convention)
CHOOSABLE = (Event.DAY_POSTED, Event.DAY_CLOSED)


def add_webhook(
    *,
    group: Group,
    url: str,
    events: Collection[Event],
    submission: uuid.UUID,
    actor: Account,
    now: datetime.datetime,
) -> Webhook:
    """Have another program told of these events from now on, and send it a trial at once.

    The name in the address is looked up, outside of any transaction. Raises NoEvent, TooManyWebhooks, and the kinds of
    AddressUnusable.
    """
    ask_reachable(url)
    with transaction.atomic():
        group = lock_group(group)
        if made := Webhook.objects.of_group(group).filter(submission=submission).first():
            return made
        chosen = [event.value for event in CHOOSABLE if event in events]
        if not chosen:
            raise errors.NoEvent
        if Webhook.objects.of_group(group).kept().count() >= WEBHOOKS_MOST:
            raise errors.TooManyWebhooks(most=WEBHOOKS_MOST)
        webhook = Webhook.objects.create(
            group=group,
            url=url,
            events=chosen,
            secret=_fresh_secret(),
            made_by=actor,
            made_at=now,
            submission=submission,
        )
        record(group=group, actor=actor, at=now, deed="webhook added", subject=webhook, events=chosen)
        send_trial(webhook=webhook, now=now)
        return webhook


@transaction.atomic
def new_secret(*, webhook: Webhook, actor: Account, now: datetime.datetime) -> Webhook:
    """Give a webhook a fresh secret; the one before signs for a day more. Raises WebhookRemoved."""
    webhook = _held(webhook)
    _ask_kept(webhook)
    webhook.earlier_secret, webhook.earlier_until = webhook.secret, now + BOTH_HOLD
    webhook.secret = _fresh_secret()
    webhook.save(update_fields=["secret", "earlier_secret", "earlier_until"])
    record(group=webhook.group, actor=actor, at=now, deed="webhook secret renewed", subject=webhook)
    return webhook


@transaction.atomic
def pause_webhook(*, webhook: Webhook, actor: Account, now: datetime.datetime) -> Webhook:
    """Tell the program nothing until the webhook goes on; again changes nothing. Raises WebhookRemoved."""
    webhook = _held(webhook)
    _ask_kept(webhook)
    if webhook.paused_at is None:
        webhook.paused_at = now
        webhook.save(update_fields=["paused_at"])
        record(group=webhook.group, actor=actor, at=now, deed="webhook paused", subject=webhook)
    return webhook


@transaction.atomic
def resume_webhook(*, webhook: Webhook, actor: Account, now: datetime.datetime) -> Webhook:
    """Tell the program of what happens from now on, and of what waited. Raises WebhookRemoved."""
    webhook = _held(webhook)
    _ask_kept(webhook)
    if webhook.paused_at is not None:
        webhook.paused_at = None
        webhook.save(update_fields=["paused_at"])
        record(group=webhook.group, actor=actor, at=now, deed="webhook resumed", subject=webhook)
        wake("api.send_due")
    return webhook


@transaction.atomic
def remove_webhook(*, webhook: Webhook, actor: Account, now: datetime.datetime) -> Webhook:
    """Tell the program nothing more. The row stays for a month, so that the removal can be taken back."""
    webhook = _held(webhook)
    if webhook.removed_at is None:
        webhook.removed_at = now
        webhook.save(update_fields=["removed_at"])
        record(group=webhook.group, actor=actor, at=now, deed="webhook removed", subject=webhook)
    return webhook


@transaction.atomic
def restore_webhook(*, webhook: Webhook, actor: Account, now: datetime.datetime) -> Webhook:
    """Take a removal back; what waited is sent. Raises TooManyWebhooks."""
    lock_group(webhook.group)
    webhook = _held(webhook)
    if webhook.removed_at is not None:
        if Webhook.objects.of_group(webhook.group).kept().count() >= WEBHOOKS_MOST:
            raise errors.TooManyWebhooks(most=WEBHOOKS_MOST)
        webhook.removed_at = None
        webhook.save(update_fields=["removed_at"])
        record(group=webhook.group, actor=actor, at=now, deed="webhook restored", subject=webhook)
        wake("api.send_due")
    return webhook


# --- Private ---------------------------------------------------------------------------------------------------------


def _fresh_secret() -> str:
    return BEGIN + secrets.token_urlsafe(SECRET_OCTETS)


def _held(webhook: Webhook) -> Webhook:
    return Webhook.objects.select_for_update(no_key=True, of=("self",)).select_related("group").get(pk=webhook.pk)


def _ask_kept(webhook: Webhook) -> None:
    if webhook.removed_at is not None:
        raise errors.WebhookRemoved
