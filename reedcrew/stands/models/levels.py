"""Readings of gauges."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.gauges import Gauge
from reedcrew.stands.models.sites import GAUGE_RANGE


class WaterLevel(models.Model):
    """A reading of a gauge. Depth today comes from the latest one at or before the day.

    Parts of a centimetre are rounded up when a level is entered: never less water than was read.
    """

    gauge = models.ForeignKey(Gauge, on_delete=models.CASCADE, related_name="levels")
    level_cm = models.SmallIntegerField(_("gauge level, cm"), validators=GAUGE_RANGE)
    read_at = models.DateTimeField(_("read at"))
    read_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")  # who entered it

    objects: ClassVar[models.Manager["WaterLevel"]] = models.Manager()

    class Meta:
        verbose_name = _("water level")
        verbose_name_plural = _("water levels")
        ordering = ["-read_at", "-pk"]
        constraints = [models.UniqueConstraint(fields=["gauge", "read_at"], name="stands_level_once_a_time")]

    def __str__(self) -> str:
        return f"{self.level_cm} cm"
