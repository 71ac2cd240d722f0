"""Checks of a stand's subspecies."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.stands import Stand


class IdentificationCheck(models.Model):
    """One person's check of a stand's subspecies: what was seen, who decided. Never changed.

    The latest check holds: by its own day, then by the moment of its record.
    """

    stand = models.ForeignKey(Stand, on_delete=models.CASCADE, related_name="checks")
    result = models.CharField(_("result"), max_length=10, choices=Stand.IDENTIFICATIONS[1:])
    characters = models.TextField(
        _("what was seen"), help_text=_("The characters that decided: leaf sheaths, stem colour, ligule, spots.")
    )
    checked_on = models.DateField(_("checked on"))
    decided_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    submission = models.UUIDField(null=True, editable=False)  # token of the form: a double press makes one row

    objects: ClassVar[models.Manager["IdentificationCheck"]] = models.Manager()

    class Meta:
        verbose_name = _("identification check")
        verbose_name_plural = _("identification checks")
        ordering = ["-checked_on", "-recorded_at", "-pk"]
        constraints = [models.UniqueConstraint(fields=["stand", "submission"], name="stands_check_once")]

    def __str__(self) -> str:
        return f"{self.stand}: {self.result}"
