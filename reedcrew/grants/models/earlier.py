"""Work of seasons before the group kept its hours here, taken over from a spreadsheet."""

import datetime
import secrets
from typing import ClassVar, Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models.grants import KINDS
from reedcrew.people.models import Account, Group, Member
from reedcrew.stands.models import Stand
from reedcrew.trade import valuation


def earlier_path(batch: "EarlierBatch", name: str) -> str:
    """Where an uploaded spreadsheet lies under MEDIA_ROOT, under a name that nobody guesses."""
    return f"earlier/{secrets.token_hex(16)}{batch.suffix}"


class EarlierBatch(models.Model):
    """One spreadsheet: uploaded, its columns named, looked at, taken over whole or not at all, and undone if wrong."""

    class State(models.TextChoices):
        UPLOADED = "uploaded", _("not taken over yet")
        IMPORTED = "imported", _("taken over")
        UNDONE = "undone", _("undone")

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="earlier_batches")
    state = models.CharField(max_length=8, choices=State.choices, default=State.UPLOADED)
    file_name = models.CharField(_("file"), max_length=120)
    suffix = models.CharField(max_length=5)  # .csv or .xlsx
    digest = models.CharField(max_length=64)  # SHA-256 of the file
    file = models.FileField(upload_to=earlier_path, blank=True)  # until it is taken over
    mapping = models.JSONField(default=dict, blank=True)  # column number, from 0, by what is in it
    uploaded_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField()
    rows = models.PositiveIntegerField(default=0)
    imported_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    imported_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    undone_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["EarlierBatch"]] = models.Manager()

    class Meta:
        verbose_name = _("import of earlier work")
        verbose_name_plural = _("imports of earlier work")
        ordering = ["-uploaded_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["group", "digest"], condition=Q(state="imported"), name="grants_earlier_file_once"
            ),
        ]

    def __str__(self) -> str:
        return self.file_name


class EarlierLineQuerySet(models.QuerySet["EarlierLine"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def in_period(self, first: datetime.date | None, last: datetime.date | None) -> Self:
        """Lines dated from ``first`` to ``last``, both included; None leaves that side open."""
        lines = self if first is None else self.filter(date__gte=first)
        return lines if last is None else lines.filter(date__lte=last)


class EarlierLine(models.Model):
    """Earlier work of one person on one day. No part of the ledger: counted in the group's own view, and in a report
    only where it is asked for.

    A person who is no member has a code as members do; the same name has the same code throughout the group.
    """

    batch = models.ForeignKey(EarlierBatch, on_delete=models.CASCADE, related_name="lines")
    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="earlier_lines")
    row = models.PositiveIntegerField()  # of the spreadsheet, the head being row 1
    date = models.DateField()
    stand = models.ForeignKey(Stand, on_delete=models.PROTECT, related_name="earlier_lines")
    member = models.ForeignKey(Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="earlier_lines")
    name = models.CharField(max_length=80)
    code = models.CharField(max_length=8)
    kind = models.CharField(max_length=11, choices=KINDS, default=valuation.Kind.FIELD.value)
    minutes = models.PositiveIntegerField()
    stems = models.PositiveIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    objects: ClassVar[models.Manager["EarlierLine"]] = EarlierLineQuerySet.as_manager()

    class Meta:
        verbose_name = _("line of earlier work")
        verbose_name_plural = _("lines of earlier work")
        ordering = ["date", "row", "pk"]
        indexes = [models.Index(fields=["group", "date"], name="grants_earlier_by_date")]

    def __str__(self) -> str:
        return f"{self.date} {self.minutes} min"
