"""Sites: where a crew meets."""

from typing import ClassVar, Self
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.stands.fields import MonthDayField
from reedcrew.stands.time_zones import validate_time_zone
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX, Position
from reedcrew.trade.water import GAUGE_CM_MAX

GAUGE_RANGE = [MinValueValidator(-GAUGE_CM_MAX), MaxValueValidator(GAUGE_CM_MAX)]


class SiteQuerySet(models.QuerySet["Site"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def for_list(self) -> Self:
        return self.select_related("group").annotate(stand_count=models.Count("stands")).order_by("name", "pk")


class Site(models.Model):
    """A place where a crew meets: how to get there, what is dangerous, whom to call in. Stands lie at a site."""

    class PhoneSignal(models.TextChoices):
        GOOD = "good", _("good")
        PATCHY = "patchy", _("patchy")
        NONE = "none", _("none")

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="sites")
    name = models.CharField(_("name"), max_length=80)
    latitude = models.DecimalField(
        _("latitude"),
        max_digits=8,
        decimal_places=6,
        validators=[MinValueValidator(-LATITUDE_MAX), MaxValueValidator(LATITUDE_MAX)],
    )
    longitude = models.DecimalField(
        _("longitude"),
        max_digits=9,
        decimal_places=6,
        validators=[MinValueValidator(-LONGITUDE_MAX), MaxValueValidator(LONGITUDE_MAX)],
    )
    time_zone = models.CharField(_("time zone"), max_length=40, validators=[validate_time_zone])
    meeting_place = models.CharField(_("meeting place"), max_length=200)
    access = models.TextField(_("way in"), blank=True)
    parking = models.TextField(_("parking"), blank=True)
    phone_signal = models.CharField(
        _("phone signal"), max_length=6, choices=PhoneSignal.choices, default=PhoneSignal.PATCHY
    )
    emergency_entrance = models.CharField(
        _("nearest emergency entrance"), max_length=200, help_text=_("Where an ambulance should come to.")
    )
    hazards = models.TextField(_("hazards"), blank=True)
    window_opens = MonthDayField(_("first day of the permitted weeks"), null=True, blank=True)
    window_closes = MonthDayField(_("last day of the permitted weeks"), null=True, blank=True)
    window_authority = models.CharField(_("authority that set the permitted weeks"), max_length=160, blank=True)
    outline = models.JSONField(_("boundary"), null=True, blank=True, editable=False)  # a geometry of RFC 7946
    area_m2 = models.DecimalField(_("area, m²"), max_digits=12, decimal_places=1, null=True, blank=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["Site"]] = SiteQuerySet.as_manager()

    class Meta:
        verbose_name = _("site")
        verbose_name_plural = _("sites")
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["group", "name"], name="stands_site_name_once"),
            models.CheckConstraint(
                condition=Q(window_opens=None, window_closes=None)
                | (Q(window_opens__isnull=False, window_closes__isnull=False) & ~Q(window_authority="")),
                name="stands_site_window_whole",
                violation_error_message=_("An own window needs first day, last day and the authority that set it."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("stands:site", args=[self.group.slug, self.pk])

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    @property
    def position(self) -> Position:
        """Longitude and latitude in degrees."""
        return float(self.longitude), float(self.latitude)

    @property
    def coordinates(self) -> str:
        """Latitude and longitude in degrees, as people read them to a rescue service."""
        return f"{self.latitude:.6f}, {self.longitude:.6f}"

    @property
    def geo_uri(self) -> str:
        """The place as an address that map programs open (RFC 5870: latitude first)."""
        return f"geo:{self.latitude:.6f},{self.longitude:.6f}"
