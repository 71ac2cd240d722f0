"""Addresses of other programs that are told of days, and what was sent to them."""

import datetime
import uuid
from typing import ClassVar, Self
from urllib.parse import urlsplit

from django.db import models
from django.db.models import Q
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.people.fields import EncryptedTextField
from reedcrew.people.models import Account, Group

URL_LENGTH = 500


class Event(models.TextChoices):
    """What a webhook is told of."""

    DAY_POSTED = "day.posted", _("a work day was posted")
    DAY_CLOSED = "day.closed", _("a work day was closed after the field work")
    TRIAL = "trial", _("a trial, to see that messages arrive")


class WebhookQuerySet(models.QuerySet["Webhook"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def kept(self) -> Self:
        """Webhooks that were not removed."""
        return self.filter(removed_at=None)

    def listening(self) -> Self:
        """Those that are told of what happens now."""
        return self.kept().filter(paused_at=None)


class Webhook(models.Model):
    """One address of another program, and the secrets by which it knows our messages.

    A new secret leaves the one before valid for a day: messages are signed with both, so that none is lost meanwhile.
    """

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="webhooks")
    url = models.CharField(_("address"), max_length=URL_LENGTH)
    events = models.JSONField(default=list)  # values of Event, in its order
    secret = EncryptedTextField()
    earlier_secret = EncryptedTextField(blank=True)
    earlier_until = models.DateTimeField(null=True, blank=True)
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    paused_at = models.DateTimeField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)
    submission = models.UUIDField(unique=True, editable=False)  # token of the form: a double press makes one row

    objects: ClassVar[models.Manager["Webhook"]] = WebhookQuerySet.as_manager()

    class Meta:
        verbose_name = _("webhook")
        verbose_name_plural = _("webhooks")
        ordering = ["made_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(earlier_until=None, earlier_secret="")
                | (Q(earlier_until__isnull=False) & ~Q(earlier_secret="")),
                name="api_webhook_earlier_secret_whole",
            ),
        ]

    def __str__(self) -> str:
        return self.url

    @property
    def host(self) -> str:
        """The name of the machine alone: the rest of an address may hold a secret."""
        return urlsplit(self.url).hostname or ""

    @property
    def event_labels(self) -> list[str]:
        return [str(event.label) for event in Event if event.value in self.events]

    def secrets_at(self, now: datetime.datetime) -> tuple[str, ...]:
        """The secrets that messages of this moment are signed with, the newest first."""
        if self.earlier_until is not None and now < self.earlier_until:
            return self.secret, self.earlier_secret
        return (self.secret,)


# What a fault of a delivery means, by its code; an answer of the other side has its status beside it.
FAULTS_IN_WORDS: dict[str, Promise] = {
    "answer": _("The other program answered, but not that it took the message."),
    "redirect": _("The other program leads on to another address. Messages are not carried on; give the new address."),
    "no name": _("No machine has the name in the address."),
    "not public": _("The name in the address leads to a machine that is not on the public network."),
    "not allowed": _("The address is not one that messages are sent to any more."),
    "certificate": _("The certificate of the other program does not hold."),
    "too slow": _("The other program did not answer in time."),
    "no connection": _("The other program could not be reached, or hung up."),
}


class DeliveryQuerySet(models.QuerySet["Delivery"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(webhook__group=group)

    def due(self, now: datetime.datetime) -> Self:
        """Messages that wait to be tried now, the oldest first; none of a webhook that is paused or removed."""
        waiting = self.filter(state=Delivery.State.WAITING, next_try_at__lte=now)
        return waiting.filter(webhook__removed_at=None, webhook__paused_at=None).order_by("next_try_at", "pk")


class Delivery(models.Model):
    """One message to one webhook, written once and kept as the text that every try sends."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        TAKEN = "taken", _("taken")
        GIVEN_UP = "given up", _("given up")

    webhook = models.ForeignKey(Webhook, on_delete=models.CASCADE, related_name="deliveries")
    code = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)  # the same in every try
    event = models.CharField(max_length=12, choices=Event.choices)
    body = models.TextField()  # JSON
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    fault = models.CharField(max_length=16, blank=True)  # a key of FAULTS_IN_WORDS
    status = models.PositiveSmallIntegerField(null=True, blank=True)  # of the last answer
    made_at = models.DateTimeField()
    next_try_at = models.DateTimeField()
    tried_at = models.DateTimeField(null=True, blank=True)
    taken_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["Delivery"]] = DeliveryQuerySet.as_manager()

    class Meta:
        verbose_name = _("message to a webhook")
        verbose_name_plural = _("messages to webhooks")
        ordering = ["-made_at", "-pk"]
        indexes = [models.Index(fields=["state", "next_try_at"], name="api_delivery_due")]

    def __str__(self) -> str:
        return f"{self.event} {self.code}"

    @property
    def fault_in_words(self) -> str:
        """What stopped the last try; "" where nothing did."""
        return str(FAULTS_IN_WORDS.get(self.fault, self.fault)) if self.fault else ""
