"""Files of reports that are made in the background."""

import datetime
import secrets
from collections.abc import Mapping
from types import MappingProxyType
from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.grants.models.grants import Grant
from reedcrew.people.models import Account, Group

FOLDER = "exports"  # under MEDIA_ROOT
STALE = datetime.timedelta(minutes=10)  # without a sign of life a job is taken up anew; longer than any part is silent


def new_export_code() -> str:
    """A name that nobody guesses: 32 hexadecimal signs."""
    return secrets.token_hex(16)


def export_path(job: "ExportJob", name: str) -> str:
    """Where a job's file lies under MEDIA_ROOT."""
    return f"{FOLDER}/{name}"


class ExportJobQuerySet(models.QuerySet["ExportJob"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def due(self, now: datetime.datetime) -> Self:
        """Jobs to take up: those that wait, and those whose worker gave no sign of life for long."""
        lost = Q(state=ExportJob.State.RUNNING, alive_at__lt=now - STALE)
        return self.filter(Q(state=ExportJob.State.WAITING) | lost).order_by("asked_at", "pk")

    def unfinished(self) -> Self:
        return self.filter(state__in=[ExportJob.State.WAITING, ExportJob.State.RUNNING])


class ExportJob(models.Model):
    """A file of a grant's report for a period, asked for by somebody. The row is the order; a wake-up hastens it."""

    class Form(models.TextChoices):
        PAPER = "paper", _("PDF: the report to read, print and sign")
        WORKBOOK = "workbook", _("XLSX: all tables and lines as a spreadsheet")
        SUMMARY = "summary", _("CSV: every sum")
        LINES = "lines", _("CSV: each line of the ledger")
        BUNDLE = "bundle", _("ZIP: everything, with checksums, to work every sum out again")

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        RUNNING = "running", _("being made")
        DONE = "done", _("ready")
        FAILED = "failed", _("failed")

    SUFFIXES: ClassVar[Mapping[str, str]] = MappingProxyType(
        {
            Form.PAPER.value: ".pdf",
            Form.WORKBOOK.value: ".xlsx",
            Form.SUMMARY.value: ".csv",
            Form.LINES.value: ".csv",
            Form.BUNDLE.value: ".zip",
        }
    )

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="export_jobs")
    grant = models.ForeignKey(Grant, on_delete=models.CASCADE, related_name="export_jobs")
    first = models.DateField()
    last = models.DateField()
    form = models.CharField(_("as"), max_length=8, choices=Form.choices)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    code = models.CharField(max_length=32, unique=True, default=new_export_code, editable=False)
    language = models.CharField(max_length=10)  # of who asked
    asked_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=0)
    alive_at = models.DateTimeField(null=True, blank=True)  # the worker's latest sign of life
    lines_done = models.PositiveIntegerField(default=0)
    lines_all = models.PositiveIntegerField(null=True, blank=True)  # None until the report is made
    finished_at = models.DateTimeField(null=True, blank=True)
    expires_at = models.DateTimeField(null=True, blank=True)
    error = models.CharField(max_length=300, blank=True)
    file = models.FileField(upload_to=export_path, blank=True)
    size = models.PositiveBigIntegerField(default=0)  # bytes
    digest = models.CharField(max_length=64, blank=True)  # SHA-256 of the file

    objects: ClassVar[models.Manager["ExportJob"]] = ExportJobQuerySet.as_manager()

    class Meta:
        verbose_name = _("file of a report")
        verbose_name_plural = _("files of reports")
        ordering = ["-asked_at", "-pk"]
        indexes = [models.Index(fields=["state", "asked_at"], name="grants_export_by_state")]
        constraints = [
            models.CheckConstraint(condition=Q(last__gte=F("first")), name="grants_export_period_forward"),
            models.CheckConstraint(condition=~Q(state="done") | ~Q(file=""), name="grants_export_done_has_file"),
            models.CheckConstraint(condition=~Q(state="failed") | ~Q(error=""), name="grants_export_failed_says_why"),
        ]

    def __str__(self) -> str:
        return f"{self.form} of {self.grant_id}, {self.first} to {self.last}"

    def get_absolute_url(self) -> str:
        return reverse("grants:export", args=[self.group.slug, self.pk])

    @property
    def suffix(self) -> str:
        return self.SUFFIXES[self.form]

    @property
    def is_finished(self) -> bool:
        return self.state in (self.State.DONE, self.State.FAILED)

    @property
    def file_name(self) -> str:
        """What the file is called where it is taken away: plain signs only."""
        return f"{self.group.slug}-grant-{self.grant_id}-{self.first}-{self.last}-{self.form}{self.suffix}"
