"""Mails to everyone on a roster: what was sent for which day, and messages that organizers wrote."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import Count, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.invites.models.outgoing import OutgoingMail
from reedcrew.invites.models.subscriptions import MailChoice
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


class Mailing(models.Model):
    """One kind of mail to the roster of one day, written once. ``done_at`` is None while it waits for its time."""

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="mailings")
    kind = models.CharField(max_length=14, choices=MailChoice.Kind.choices)
    due_at = models.DateTimeField()
    done_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["Mailing"]] = models.Manager()

    class Meta:
        verbose_name = _("mailing")
        verbose_name_plural = _("mailings")
        ordering = ["due_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["day", "kind"], name="invites_mailing_once")]

    def __str__(self) -> str:
        return f"{self.kind} of {self.day_id}"


class RosterMessageQuerySet(models.QuerySet["RosterMessage"]):
    def with_progress(self) -> Self:
        """Adds ``sent_count``, ``refused_count``, ``dropped_count`` and ``open_count`` (not begun) of its mails."""
        state = OutgoingMail.State
        return self.annotate(
            sent_count=Count("mails", filter=Q(mails__state=state.SENT)),
            refused_count=Count("mails", filter=Q(mails__state=state.REFUSED)),
            dropped_count=Count("mails", filter=Q(mails__state=state.DROPPED)),
            open_count=Count("mails", filter=Q(mails__state=state.WAITING, mails__tries=0)),
        ).order_by("-sent_at", "-pk")


class RosterMessage(models.Model):
    """A message that an organizer wrote to the people of a day."""

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="messages")
    subject = models.CharField(_("subject"), max_length=120)
    words = models.TextField(_("message"), max_length=4000)
    about_safety = models.BooleanField(_("about safety"), default=False)
    to_waiting = models.BooleanField(_("also to the waiting list"), default=False)
    sent_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField()
    people = models.PositiveIntegerField()  # to whom it went
    taken_back_at = models.DateTimeField(null=True, blank=True)  # since then what had not gone out does not go
    submission = models.UUIDField(unique=True, editable=False)  # token of the form: a double press sends once

    objects: ClassVar[models.Manager["RosterMessage"]] = RosterMessageQuerySet.as_manager()

    class Meta:
        verbose_name = _("message to a roster")
        verbose_name_plural = _("messages to rosters")
        ordering = ["-sent_at", "-pk"]

    def __str__(self) -> str:
        return self.subject
