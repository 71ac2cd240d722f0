"""What calendars were told of sign-ups."""

import datetime
from typing import ClassVar, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.workdays.models import SignUp, WorkDay


class CalendarEntryQuerySet(models.QuerySet["CalendarEntry"]):
    def standing(self, day: WorkDay) -> Self:
        """Entries of a day that stand in calendars, with all that a message about them tells."""
        return (
            self.filter(sign_up__day=day, cancelled_at=None)
            .select_related(
                "sign_up__member__account", "sign_up__member__guardian__account", "sign_up__day__stand__site__group"
            )
            .order_by("pk")
        )


class CalendarEntry(models.Model):
    """What a person's calendar was told of one sign-up: one UID a sign-up, never used for another."""

    sign_up = models.OneToOneField(SignUp, on_delete=models.PROTECT, related_name="calendar_entry")
    uid = models.CharField(max_length=120, unique=True)
    organizer_name = models.CharField(max_length=80)  # stays as it was first told, whatever the group is called later
    address = models.EmailField()
    sequence = models.PositiveIntegerField(default=0)
    last_dtstamp = models.DateTimeField()
    partstat = models.CharField(max_length=12)
    marks = models.JSONField()  # of the content last sent, to judge what kind of change comes next
    first_message_id = models.CharField(max_length=200)
    cancelled_at = models.DateTimeField(null=True, blank=True)
    reply_sequence = models.PositiveIntegerField(null=True, blank=True)  # of the answer that holds, with its stamp
    reply_dtstamp = models.DateTimeField(null=True, blank=True)
    declined_by_mail = models.BooleanField(default=False)  # the place was given up by a calendar's answer
    resent_at = models.DateTimeField(null=True, blank=True)  # when a calendar last asked for the invitation again

    objects: ClassVar[models.Manager["CalendarEntry"]] = CalendarEntryQuerySet.as_manager()

    class Meta:
        verbose_name = _("calendar entry")
        verbose_name_plural = _("calendar entries")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.sign_up_id} sequence {self.sequence}"

    @property
    def last_reply(self) -> tuple[int, datetime.datetime] | None:
        """SEQUENCE and DTSTAMP of the answer that holds; None before the first."""
        if self.reply_sequence is None or self.reply_dtstamp is None:
            return None
        return self.reply_sequence, self.reply_dtstamp
