"""Readings of a site's gauge."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.sites import GAUGE_RANGE, Site


class WaterLevel(models.Model):
    """A reading of a site's gauge. Depth today comes from the latest one at or before the day."""

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="water_levels")
    level_cm = models.SmallIntegerField(_("gauge level, cm"), validators=GAUGE_RANGE)
    read_at = models.DateTimeField(_("read at"))
    read_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")

    objects: ClassVar[models.Manager["WaterLevel"]] = models.Manager()

    class Meta:
        verbose_name = _("water level")
        verbose_name_plural = _("water levels")
        ordering = ["-read_at", "-pk"]
        constraints = [models.UniqueConstraint(fields=["site", "read_at"], name="stands_level_once_a_time")]

    def __str__(self) -> str:
        return f"{self.level_cm} cm"
