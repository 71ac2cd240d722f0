"""Mails on their way out."""

import datetime
from typing import Any, ClassVar, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.workdays.models import SignUp


class OutgoingMailQuerySet(models.QuerySet["OutgoingMail"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def for_list(self) -> Self:
        """Without the bytes, which no list shows."""
        return self.defer("raw")

    def due(self, now: datetime.datetime) -> Self:
        """Mails that wait to be tried now, the oldest first."""
        return self.filter(state=OutgoingMail.State.WAITING, next_try_at__lte=now).order_by("next_try_at", "pk")


class OutgoingMail(models.Model):
    """One mail to one person, rendered once and kept as the bytes that every try sends."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        SENT = "sent", _("sent")
        REFUSED = "refused", _("refused for good")

    class Kind(models.TextChoices):
        INVITE = "invite", _("invitation")
        CHANGE = "change", _("change")
        CANCEL = "cancel", _("cancellation")
        WAITING_LIST = "waiting list", _("waiting list")
        OFFER = "offer", _("place offered")
        ANSWER = "answer", _("question about an answer")
        REMINDER = "reminder", _("reminder")
        MESSAGE = "message", _("message of the organizers")
        THANKS = "thanks", _("thanks")
        PASSED_ON = "passed on", _("message passed on")

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="outgoing_mails")
    sign_up = models.ForeignKey(SignUp, on_delete=models.SET_NULL, null=True, blank=True, related_name="mails")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    to_address = models.EmailField()
    domain = models.CharField(max_length=255, editable=False)  # of the address, in lower case: servers count by it
    envelope_from = models.CharField(max_length=200)
    subject = models.CharField(max_length=200)
    message_id = models.CharField(max_length=200, unique=True)
    raw = models.BinaryField()
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField()
    next_try_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["OutgoingMail"]] = OutgoingMailQuerySet.as_manager()

    class Meta:
        verbose_name = _("outgoing mail")
        verbose_name_plural = _("outgoing mails")
        ordering = ["-created_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "next_try_at"], name="invites_mail_due"),
            models.Index(fields=["state", "sent_at"], name="invites_mail_sent"),
        ]

    def __str__(self) -> str:
        return self.subject

    def save(self, **kwargs: Any) -> None:
        """Keep the domain beside the address."""
        self.domain = self.to_address.rpartition("@")[2].lower()
        super().save(**kwargs)
