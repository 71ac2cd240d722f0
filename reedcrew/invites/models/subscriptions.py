"""Calendars that people subscribe to, and the mails that they want."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group


class FeedAddress(models.Model):
    """The private address of a person's calendar. Only its digest is kept: nobody can read the address again."""

    account = models.OneToOneField(Account, on_delete=models.CASCADE, related_name="feed_address")
    digest = models.CharField(max_length=64, unique=True)  # SHA-256 of the token in the address
    made_at = models.DateTimeField()

    objects: ClassVar[models.Manager["FeedAddress"]] = models.Manager()

    class Meta:
        verbose_name = _("address of a calendar")
        verbose_name_plural = _("addresses of calendars")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"calendar of {self.account_id}"


class GroupFeed(models.Model):
    """A group's public calendar: there only while an organizer keeps it open."""

    group = models.OneToOneField(Group, on_delete=models.CASCADE, related_name="feed")
    code = models.CharField(max_length=32, unique=True)
    opened_at = models.DateTimeField()

    objects: ClassVar[models.Manager["GroupFeed"]] = models.Manager()

    class Meta:
        verbose_name = _("public calendar")
        verbose_name_plural = _("public calendars")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"calendar of {self.group_id}"


class MailChoice(models.Model):
    """A kind of mail that a person turned off, or on again. Where there is no row, it is wanted."""

    class Kind(models.TextChoices):
        WEEK_BEFORE = "week before", _("a reminder one week before")
        EVENING_BEFORE = "evening before", _("a reminder on the evening before")
        MESSAGE = "message", _("messages of the organizers")
        THANKS = "thanks", _("thanks afterwards, with hours and stems")

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="mail_choices")
    kind = models.CharField(max_length=14, choices=Kind.choices)
    wanted = models.BooleanField()
    changed_at = models.DateTimeField()

    objects: ClassVar[models.Manager["MailChoice"]] = models.Manager()

    class Meta:
        verbose_name = _("choice of mail")
        verbose_name_plural = _("choices of mail")
        ordering = ["kind", "pk"]
        constraints = [models.UniqueConstraint(fields=["account", "kind"], name="invites_choice_once")]

    def __str__(self) -> str:
        return f"{self.kind}: {self.wanted}"
