"""Checks of a stand's subspecies: what people saw."""

from functools import cached_property
from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.stands import Stand
from reedcrew.trade.identification import (
    Checked,
    Finding,
    Identification,
    Observation,
    Opinion,
    Source,
    identify,
    read_record,
)


class IdentificationCheck(models.Model):
    """What one person saw of a stand, and what that finds. Never changed and never removed.

    ``result`` and ``native_sign`` are what ``trade.identification.identify`` found when the check was recorded.
    """

    class Asked(models.TextChoices):
        GENETIC_TEST = Source.GENETIC_TEST.value, _("a genetic test")
        QUALIFIED_PERSON = Source.QUALIFIED_PERSON.value, _("a qualified person")

    stand = models.ForeignKey(Stand, on_delete=models.CASCADE, related_name="checks")
    observation = models.JSONField(_("what was seen"))  # written by trade.identification.to_record
    result = models.CharField(_("finding"), max_length=10, choices=Stand.IDENTIFICATIONS[1:])
    native_sign = models.BooleanField(default=False)  # a character that decides points to the native reed
    asked = models.CharField(_("who was asked"), max_length=16, choices=Asked.choices, blank=True)
    asked_name = models.CharField(_("name of the test and laboratory, or of the person"), max_length=120, blank=True)
    asked_result = models.CharField(_("their answer"), max_length=10, choices=Stand.IDENTIFICATIONS[1:], blank=True)
    note = models.TextField(_("note"), blank=True)
    checked_on = models.DateField(_("checked on"))
    checked_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    submission = models.UUIDField(null=True, editable=False)  # token of the form: a double press makes one row

    objects: ClassVar[models.Manager["IdentificationCheck"]] = models.Manager()

    class Meta:
        verbose_name = _("identification check")
        verbose_name_plural = _("identification checks")
        ordering = ["-checked_on", "-recorded_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["stand", "submission"], name="stands_check_once"),
            models.CheckConstraint(
                condition=Q(asked="", asked_name="", asked_result="")
                | (~Q(asked="") & ~Q(asked_name="") & ~Q(asked_result="")),
                name="stands_check_asked_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stand}: {self.result}"

    def get_absolute_url(self) -> str:
        return reverse("stands:check", args=[self.stand.site.group.slug, self.stand_id, self.pk])

    @property
    def seen(self) -> Observation:
        return read_record(self.observation)

    @property
    def opinion(self) -> Opinion | None:
        """The answer of the test or person that was asked."""
        if not self.asked:
            return None
        return Opinion(source=Source(self.asked), name=self.asked_name, result=Identification(self.asked_result))

    @cached_property
    def finding(self) -> Finding:
        """What the check finds, with its reasons."""
        return identify(self.seen, self.opinion)

    @property
    def checked(self) -> Checked:
        """The check as rules about decisions see it."""
        return Checked(found=Identification(self.result), native_sign=self.native_sign)
