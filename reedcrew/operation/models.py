import datetime
from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _


class Heartbeat(models.Model):
    """When a worker last did what beat asks for every minute: the whole chain of beat, broker and worker moves."""

    CHAIN = "beat"

    name = models.CharField(max_length=20, primary_key=True)
    at = models.DateTimeField()

    objects: ClassVar[models.Manager["Heartbeat"]] = models.Manager()

    class Meta:
        verbose_name = _("heartbeat")
        verbose_name_plural = _("heartbeats")

    def __str__(self) -> str:
        return f"{self.name} at {self.at:%Y-%m-%d %H:%M}"


class BackupRunQuerySet(models.QuerySet["BackupRun"]):
    def last_good(self) -> "BackupRun | None":
        """The newest backup that was written whole."""
        return self.filter(fault="").first()


class BackupRun(models.Model):
    """One run of the backup, whether it went well or not."""

    started_at = models.DateTimeField()
    finished_at = models.DateTimeField()
    file_name = models.CharField(max_length=100)
    octets = models.PositiveBigIntegerField(default=0)
    tables = models.PositiveIntegerField(default=0)
    rows = models.PositiveBigIntegerField(default=0)
    files = models.PositiveBigIntegerField(default=0)
    fault = models.CharField(max_length=300, blank=True)  # why it failed; "" for a good one

    objects: ClassVar[models.Manager["BackupRun"]] = BackupRunQuerySet.as_manager()

    class Meta:
        verbose_name = _("backup")
        verbose_name_plural = _("backups")
        ordering = ["-finished_at", "-pk"]

    def __str__(self) -> str:
        return self.file_name

    @property
    def took(self) -> datetime.timedelta:
        return self.finished_at - self.started_at
