from decimal import Decimal
from typing import ClassVar, Self
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group
from reedcrew.stands.fields import MonthDayField
from reedcrew.stands.time_zones import validate_time_zone
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.identification import Identification
from reedcrew.trade.outline import LATITUDE_MAX, LONGITUDE_MAX, Position
from reedcrew.trade.water import CURRENT_M_S_MAX, DEPTH_CM_MAX, GAUGE_CM_MAX

UNITS_MAX = 60  # what an entry can mean (convention)
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


class StandQuerySet(models.QuerySet["Stand"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(site__group=group)

    def open_to_work(self) -> Self:
        """Stands confirmed as the introduced subspecies."""
        return self.filter(identification=Identification.INTRODUCED)

    def for_list(self) -> Self:
        counted = self.select_related("site", "site__group").annotate(zone_count=models.Count("zones"))
        return counted.order_by("site__name", "name", "pk")


class Stand(models.Model):
    """One patch of reed, followed over the years until it is gone."""

    IDENTIFICATIONS = [
        (Identification.UNCHECKED.value, _("not checked yet")),
        (Identification.INTRODUCED.value, _("introduced")),
        (Identification.NATIVE.value, _("native")),
        (Identification.NOT_SURE.value, _("not sure")),
    ]

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="stands", verbose_name=_("site"))
    name = models.CharField(_("name"), max_length=80)
    identification = models.CharField(
        _("subspecies"), max_length=10, choices=IDENTIFICATIONS, default=Identification.UNCHECKED.value, editable=False
    )
    first_cut_year = models.PositiveSmallIntegerField(
        _("first year of cutting"), null=True, blank=True, validators=[MinValueValidator(1950), MaxValueValidator(2200)]
    )
    note = models.TextField(_("note"), blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["Stand"]] = StandQuerySet.as_manager()

    class Meta:
        verbose_name = _("stand")
        verbose_name_plural = _("stands")
        ordering = ["site__name", "name", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="stands_stand_name_once")]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("stands:stand", args=[self.site.group.slug, self.pk])

    @property
    def may_be_cut(self) -> bool:
        return Identification(self.identification).may_be_cut

    def year_of_treatment(self, year: int) -> int | None:
        """1 in the first year of cutting; None before it or when no year is known."""
        if self.first_cut_year is None or year < self.first_cut_year:
            return None
        return year - self.first_cut_year + 1


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
    outline = models.JSONField(_("outline"), null=True, blank=True)  # a GeoJSON Polygon, RFC 7946
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
