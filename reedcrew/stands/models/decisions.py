"""Decisions of organizers about which reed a stand is."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.checks import IdentificationCheck
from reedcrew.stands.models.stands import Stand
from reedcrew.trade.identification import Authority


class IdentificationDecision(models.Model):
    """What an organizer decided about a stand's subspecies, and on what it rests. Never changed; the latest holds.

    ``latest_known`` is the latest check that was recorded when it was decided: those after it may contradict it.
    """

    class Basis(models.TextChoices):
        FINDINGS = Authority.FINDINGS.value, _("what the checks found")
        GENETIC_TEST = Authority.GENETIC_TEST.value, _("a genetic test")
        QUALIFIED_PERSON = Authority.QUALIFIED_PERSON.value, _("a qualified person")

    stand = models.ForeignKey(Stand, on_delete=models.CASCADE, related_name="decisions")
    result = models.CharField(_("which reed it is"), max_length=10, choices=Stand.IDENTIFICATIONS[1:])
    authority = models.CharField(_("what it rests on"), max_length=16, choices=Basis.choices)
    authority_name = models.CharField(
        _("name of the test and laboratory, or of the person"), max_length=120, blank=True
    )
    checks: "models.ManyToManyField[IdentificationCheck, models.Model]" = models.ManyToManyField(
        IdentificationCheck, related_name="decisions", blank=True
    )
    latest_known = models.ForeignKey(
        IdentificationCheck, null=True, blank=True, on_delete=models.RESTRICT, related_name="+"
    )
    reason = models.TextField(_("reason"))
    decided_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField()
    submission = models.UUIDField(null=True, editable=False)  # token of the form: a double press makes one row

    objects: ClassVar[models.Manager["IdentificationDecision"]] = models.Manager()

    class Meta:
        verbose_name = _("decision about the subspecies")
        verbose_name_plural = _("decisions about the subspecies")
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["stand", "submission"], name="stands_decision_once"),
            models.CheckConstraint(
                condition=Q(authority=Authority.FINDINGS.value, authority_name="")
                | (~Q(authority=Authority.FINDINGS.value) & ~Q(authority_name="")),
                name="stands_decision_names_its_authority",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stand}: {self.result}"
