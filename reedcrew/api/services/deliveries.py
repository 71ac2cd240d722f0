"""Messages to webhooks: a row first, tried until the other program takes it or a day is over."""

import datetime
import json
import logging
import uuid
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction

from reedcrew.api import errors, sending
from reedcrew.api.models import Delivery, Event, Webhook
from reedcrew.api.records.days import day_records
from reedcrew.api.signing import CODE_HEADER, EVENT_HEADER, signed_headers
from reedcrew.people.audit import record
from reedcrew.people.models import Account, Group
from reedcrew.trade.policy import Policy
from reedcrew.web.retrying import claim, next_try
from reedcrew.web.wake import wake
from reedcrew.workdays.models import WorkDay

logger = logging.getLogger(__name__)

# Waits after the first, second, … failed try: eight tries in a little more than a day.
WAITS = tuple(datetime.timedelta(minutes=minutes) for minutes in (1, 5, 30, 120, 360, 480, 480))
TRIES_MAX = len(WAITS) + 1
CLAIM = datetime.timedelta(minutes=2)  # longer than any conversation: sending.WHOLE_S
DELIVERIES_A_SWEEP = 50
KEPT = datetime.timedelta(days=30)  # messages, and removed webhooks (convention)


def tell(*, day: WorkDay, event: Event, now: datetime.datetime) -> None:
    """Write a message to each webhook of the day's group that listens to the event. Inside the event's own transaction.

    A paused webhook is not told later of what happens now.
    """
    webhooks = Webhook.objects.of_group(day.group).listening().select_related("group")
    listening = [webhook for webhook in webhooks if event.value in webhook.events]
    if not listening:
        return
    (record_of_day,) = day_records(WorkDay.objects.filter(pk=day.pk), day.group)
    for webhook in listening:
        _write(webhook, event, {"day": record_of_day}, now)


def send_trial(*, webhook: Webhook, now: datetime.datetime) -> Delivery:
    """Write a message that says nothing but that messages arrive. Raises WebhookRemoved."""
    if webhook.removed_at is not None:
        raise errors.WebhookRemoved
    return _write(webhook, Event.TRIAL, {}, now)


def due_deliveries(now: datetime.datetime) -> list[int]:
    """Keys of the messages to try now, the oldest first."""
    return list(Delivery.objects.due(now).values_list("pk", flat=True)[:DELIVERIES_A_SWEEP])


def deliver(*, delivery_pk: int, now: datetime.datetime) -> Delivery | None:
    """Try to send one message that is due; None when it is not, or another worker sends it.

    No transaction is open while the other program is waited for.
    """
    delivery = Delivery.objects.due(now).filter(pk=delivery_pk).select_related("webhook").first()
    if delivery is None:
        return None
    waiting = Delivery.objects.filter(pk=delivery_pk, state=Delivery.State.WAITING)
    if not claim(waiting, seen=delivery.next_try_at, now=now, until=now + CLAIM):
        return None
    delivery.tries, delivery.tried_at = delivery.tries + 1, now
    body = delivery.body.encode()
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "Reedcrew",
        EVENT_HEADER: delivery.event,
        CODE_HEADER: str(delivery.code),
        **signed_headers(secrets=delivery.webhook.secrets_at(now), now=now, body=body),
    }
    outcome = sending.post(delivery.webhook.url, body, headers)
    delivery.fault, delivery.status = outcome.fault, outcome.status
    if not outcome.fault:
        delivery.state, delivery.taken_at = Delivery.State.TAKEN, now
    elif delivery.tries >= TRIES_MAX:
        delivery.state = Delivery.State.GIVEN_UP
    else:
        delivery.next_try_at = next_try(tries=delivery.tries, waits=WAITS, now=now)
    if outcome.fault:
        logger.warning("Message %s to a webhook was not taken: %s", delivery.pk, outcome.fault)
    delivery.save(update_fields=["fault", "status", "state", "taken_at", "next_try_at"])
    return delivery


@transaction.atomic
def send_again(*, delivery: Delivery, actor: Account, now: datetime.datetime) -> Delivery:
    """Send a message once more, as for a program that lost it: the same code and text. Raises DeliveryWaits."""
    delivery = (
        Delivery.objects.select_for_update(no_key=True, of=("self",))
        .select_related("webhook__group")
        .get(pk=delivery.pk)
    )
    if delivery.webhook.removed_at is not None:
        raise errors.WebhookRemoved
    if delivery.state == Delivery.State.WAITING and not delivery.tries:
        raise errors.DeliveryWaits
    delivery.state, delivery.tries, delivery.next_try_at = Delivery.State.WAITING, 0, now
    delivery.save(update_fields=["state", "tries", "next_try_at"])
    record(group=delivery.webhook.group, actor=actor, at=now, deed="message sent again", subject=delivery)
    wake("api.send_due")
    return delivery


def forget_old(group: Group, policy: Policy, now: datetime.datetime) -> int:
    """Delete messages that nobody waits for and webhooks that were removed, both a month after."""
    Webhook.objects.of_group(group).filter(removed_at__lt=now - KEPT).delete()
    old = Delivery.objects.of_group(group).exclude(state=Delivery.State.WAITING).filter(made_at__lt=now - KEPT)
    return old.delete()[0]


# --- Private ---------------------------------------------------------------------------------------------------------


def _write(webhook: Webhook, event: Event, said: dict[str, Any], now: datetime.datetime) -> Delivery:
    code = uuid.uuid4()
    group = {"slug": webhook.group.slug, "name": webhook.group.name}
    body = {"message": str(code), "event": event.value, "at": now, "group": group, **said}
    delivery = Delivery.objects.create(
        webhook=webhook,
        code=code,
        event=event,
        body=json.dumps(body, ensure_ascii=False, indent=1, cls=DjangoJSONEncoder),
        made_at=now,
        next_try_at=now,
    )
    wake("api.send_due")
    return delivery
