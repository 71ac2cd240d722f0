"""Zones: parts of a stand that are worked in one way."""

from decimal import Decimal
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models.sites import GAUGE_RANGE
from reedcrew.stands.models.stands import Stand
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.water import CURRENT_M_S_MAX, DEPTH_CM_MAX

UNITS_MAX = 60  # what an entry can mean (convention)


class Zone(models.Model):
    """A part of a stand that is worked in one way. Depth and stems are those of the survey."""

    class Bed(models.TextChoices):
        FIRM = "firm", _("firm sand or gravel")
        SOFT = "soft", _("soft mud")
        PEAT = "peat", _("peat or roots")
        DRY = "dry", _("dry ground")

    stand = models.ForeignKey(Stand, on_delete=models.CASCADE, related_name="zones")
    name = models.CharField(_("name"), max_length=40)
    depth_cm = models.PositiveSmallIntegerField(
        _("depth at the survey, cm"),
        validators=[MaxValueValidator(DEPTH_CM_MAX)],
        help_text=_("0 is dry land. Measure at the deepest place where people would stand."),
    )
    surveyed_on = models.DateField(_("surveyed on"))
    gauge_cm = models.SmallIntegerField(
        _("gauge level at the survey, cm"),
        null=True,
        blank=True,
        validators=GAUGE_RANGE,
        help_text=_("Leave empty where there is no gauge."),
    )
    current_m_s = models.DecimalField(
        _("current, m/s"),
        max_digits=4,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(CURRENT_M_S_MAX)],
    )
    bed = models.CharField(_("bed"), max_length=4, choices=Bed.choices, default=Bed.SOFT)
    stems = models.PositiveIntegerField(_("estimated stems"), default=0, validators=[MaxValueValidator(STEMS_MAX)])
    units_max = models.PositiveSmallIntegerField(
        _("most units at once"), default=4, validators=[MaxValueValidator(UNITS_MAX)]
    )
    outline = models.JSONField(_("outline"), null=True, blank=True)  # a geometry of RFC 7946
    area_m2 = models.DecimalField(_("area, m²"), max_digits=12, decimal_places=1, null=True, blank=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["Zone"]] = models.Manager()

    class Meta:
        verbose_name = _("zone")
        verbose_name_plural = _("zones")
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["stand", "name"], name="stands_zone_name_once"),
            models.CheckConstraint(condition=Q(current_m_s__gte=0), name="stands_zone_current_not_negative"),
        ]

    def __str__(self) -> str:
        return self.name
