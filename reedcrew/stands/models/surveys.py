"""Surveys: quadrats counted in the zones of a stand on one day."""

from decimal import Decimal
from typing import ClassVar, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models.sites import GAUGE_RANGE
from reedcrew.stands.models.stands import Stand
from reedcrew.stands.models.zones import Zone
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX, Position
from reedcrew.trade.sampling import QUADRAT_M2_MAX, QUADRAT_M2_MIN
from reedcrew.trade.water import DEPTH_CM_MAX

QUADRAT_STEMS_MAX = 100_000  # of one quadrat of up to 100 m²; more is a slip (convention)
QUADRAT_NUMBER_MAX = 9_999
QUADRATS_MAX = 500  # of one survey (convention)
HEIGHT_CM_MAX = 800  # published stems of the introduced reed reach 600 cm; more is a slip (convention)


class SurveyQuerySet(models.QuerySet["Survey"]):
    def standing(self) -> Self:
        """Surveys that were not struck out."""
        return self.filter(struck_at=None)


class Survey(models.Model):
    """Quadrats of one size, counted in some zones of a stand on one day.

    Never changed: a wrong one is struck out with who, when and why, and entered anew.
    """

    stand = models.ForeignKey(Stand, on_delete=models.CASCADE, related_name="surveys")
    surveyed_on = models.DateField(_("counted on"))
    quadrat_m2 = models.DecimalField(
        _("area of a quadrat, m²"),
        max_digits=6,
        decimal_places=3,
        validators=[MinValueValidator(Decimal(str(QUADRAT_M2_MIN))), MaxValueValidator(QUADRAT_M2_MAX)],
    )
    gauge_cm = models.SmallIntegerField(
        _("gauge level at the survey, cm"), null=True, blank=True, validators=GAUGE_RANGE
    )
    counted_by = models.CharField(_("counted by"), max_length=160, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=2000)
    recorded_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    submission = models.UUIDField(null=True, editable=False)  # token of the form: a double press makes one row
    # Zones that took their depth from this survey: by their key, depth, day and gauge level before it and after it.
    depth_changes = models.JSONField(default=dict, blank=True, editable=False)
    struck_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_reason = models.CharField(max_length=200, blank=True)

    objects: ClassVar[models.Manager["Survey"]] = SurveyQuerySet.as_manager()

    class Meta:
        verbose_name = _("survey")
        verbose_name_plural = _("surveys")
        ordering = ["-surveyed_on", "-recorded_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["stand", "submission"], name="stands_survey_once"),
            models.CheckConstraint(condition=Q(quadrat_m2__gt=0), name="stands_survey_quadrat_has_area"),
            models.CheckConstraint(
                condition=Q(struck_at=None, struck_by=None, struck_reason="")
                | (Q(struck_at__isnull=False, struck_by__isnull=False) & ~Q(struck_reason="")),
                name="stands_survey_struck_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stand}, {date_format(self.surveyed_on)}"

    def get_absolute_url(self) -> str:
        return reverse("stands:survey", args=[self.stand.site.group.slug, self.stand_id, self.pk])


class Quadrat(models.Model):
    """One square that was counted: its live stems, and what else was measured in it."""

    survey = models.ForeignKey(Survey, on_delete=models.CASCADE, related_name="quadrats")
    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, related_name="quadrats")
    number = models.PositiveSmallIntegerField(
        _("number"), validators=[MinValueValidator(1), MaxValueValidator(QUADRAT_NUMBER_MAX)]
    )
    stems = models.PositiveIntegerField(_("stems"), validators=[MaxValueValidator(QUADRAT_STEMS_MAX)])
    height_cm = models.PositiveSmallIntegerField(
        _("height, cm"), null=True, blank=True, validators=[MaxValueValidator(HEIGHT_CM_MAX)]
    )
    depth_cm = models.PositiveSmallIntegerField(
        _("depth, cm"), null=True, blank=True, validators=[MaxValueValidator(DEPTH_CM_MAX)]
    )
    seed_heads = models.PositiveIntegerField(_("seed heads"), null=True, blank=True)
    latitude = models.DecimalField(
        _("latitude"),
        max_digits=8,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(-LATITUDE_MAX), MaxValueValidator(LATITUDE_MAX)],
    )
    longitude = models.DecimalField(
        _("longitude"),
        max_digits=9,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(-LONGITUDE_MAX), MaxValueValidator(LONGITUDE_MAX)],
    )
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects: ClassVar[models.Manager["Quadrat"]] = models.Manager()

    class Meta:
        verbose_name = _("quadrat")
        verbose_name_plural = _("quadrats")
        ordering = ["zone__name", "number", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["survey", "zone", "number"], name="stands_quadrat_number_once"),
            models.CheckConstraint(
                condition=Q(seed_heads=None) | Q(seed_heads__lte=F("stems")), name="stands_quadrat_heads_on_stems"
            ),
            models.CheckConstraint(
                condition=Q(latitude=None, longitude=None) | Q(latitude__isnull=False, longitude__isnull=False),
                name="stands_quadrat_position_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.zone} {self.number}"

    @property
    def position(self) -> Position | None:
        """Longitude and latitude in degrees, or None where it was not noted."""
        if self.longitude is None or self.latitude is None:
            return None
        return float(self.longitude), float(self.latitude)

    @property
    def coordinates(self) -> str:
        """Latitude and longitude in degrees; empty where the position was not noted."""
        return "" if self.latitude is None else f"{self.latitude:.6f}, {self.longitude:.6f}"

    @property
    def geo_uri(self) -> str:
        """The place as an address that map programs open (RFC 5870: latitude first); empty where it was not noted."""
        return "" if self.latitude is None else f"geo:{self.latitude:.6f},{self.longitude:.6f}"
