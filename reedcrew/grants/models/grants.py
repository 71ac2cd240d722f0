"""Grants, families of grants, what an hour is worth, and when a report is due."""

import datetime
from typing import ClassVar, Self

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import F, OuterRef, Q, Subquery, Sum
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Group
from reedcrew.stands.models import Stand
from reedcrew.trade import valuation

KINDS = [
    (valuation.Kind.FIELD.value, _("field work")),
    (valuation.Kind.TRAVEL.value, _("travel")),
    (valuation.Kind.PREPARATION.value, _("preparation")),
]
ACTIVITIES = [
    (valuation.Activity.WATER.value, _("cutting in water")),
    (valuation.Activity.LAND.value, _("work on land")),
    (valuation.Activity.SURVEY.value, _("surveying")),
    (valuation.Activity.GEAR.value, _("care of gear")),
    (valuation.Activity.PLANNING.value, _("planning and paperwork")),
    (valuation.Activity.ON_THE_WAY.value, _("on the way")),
]
ROLES = [
    (valuation.Role.CREW.value, _("crew work")),
    (valuation.Role.LEAD.value, _("leading the crew")),
    (valuation.Role.SAFETY.value, _("spotting and first aid")),
    (valuation.Role.SUPPORT.value, _("desk, gear and planning")),
]
ROUNDINGS = [
    (valuation.Rounding.NONE.value, _("none: whole minutes")),
    (valuation.Rounding.FIVE_MINUTES.value, _("to 5 minutes")),
    (valuation.Rounding.TENTH.value, _("to a tenth of an hour")),
    (valuation.Rounding.QUARTER.value, _("to a quarter of an hour")),
]
a_currency = RegexValidator(r"^[A-Z]{3}\Z", _("Give the three capital letters of the currency, such as USD or CAD."))


def every_kind() -> list[str]:
    return [value for value, _word in KINDS]


def every_activity() -> list[str]:
    return [value for value, _word in ACTIVITIES]


class Licence(models.TextChoices):
    """Under what others may use the data of a report: the three that open biodiversity data know."""

    NONE = "", _("not open: for the funder only")
    CC0 = "CC0-1.0", _("CC0 1.0: no rights kept")
    CC_BY = "CC-BY-4.0", _("CC BY 4.0: with attribution")
    CC_BY_NC = "CC-BY-NC-4.0", _("CC BY-NC 4.0: with attribution, not for profit")


class Family(models.Model):
    """Grants that are one to a funder, such as an award and what is passed on from it: no hour counts for two."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="grant_families")
    name = models.CharField(_("name"), max_length=120)
    note = models.TextField(_("note"), blank=True)

    objects: ClassVar[models.Manager["Family"]] = models.Manager()

    class Meta:
        verbose_name = _("family of grants")
        verbose_name_plural = _("families of grants")
        ordering = ["name", "pk"]
        constraints = [models.UniqueConstraint(fields=["group", "name"], name="grants_family_name_once")]

    def __str__(self) -> str:
        return self.name


class GrantQuerySet(models.QuerySet["Grant"]):
    def with_sums(self) -> Self:
        """Adds ``claimed_minutes``: the hours that count toward the grant, in raw minutes."""
        standing = Q(claims__entry__correction=None)
        return self.annotate(claimed_minutes=Coalesce(Sum("claims__entry__minutes", filter=standing), 0))

    def with_next_report(self) -> Self:
        """Adds ``next_due_on``: when the earliest report is due that was not sent, or None."""
        dates = ReportingDate.objects.open().filter(grant=OuterRef("pk")).order_by("due_on")
        return self.annotate(next_due_on=Subquery(dates.values("due_on")[:1]))


class Grant(models.Model):
    """Money given for work on some stands in a period, to be accounted for.

    Both days belong to the period, by the date of the site.
    """

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="grants")
    family = models.ForeignKey(
        Family, on_delete=models.PROTECT, null=True, blank=True, related_name="grants", verbose_name=_("family")
    )
    name = models.CharField(_("name"), max_length=120)
    funder = models.CharField(_("funder"), max_length=120)
    number = models.CharField(_("grant number"), max_length=60, blank=True)
    starts_on = models.DateField(_("first day"))
    ends_on = models.DateField(_("last day"))
    stands = models.ManyToManyField(Stand, related_name="grants", verbose_name=_("eligible stands"))
    kinds = models.JSONField(_("eligible kinds of hour"), default=every_kind)  # values of trade.valuation.Kind
    activities = models.JSONField(_("eligible activities"), default=every_activity)  # of trade.valuation.Activity
    currency = models.CharField(_("currency"), max_length=3, default="USD", validators=[a_currency])
    award = models.DecimalField(
        _("award"), max_digits=12, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    match_target = models.DecimalField(
        _("match to bring"), max_digits=12, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    rounding = models.CharField(
        _("rounding of times"), max_length=9, choices=ROUNDINGS, default=valuation.Rounding.NONE.value
    )
    names_required = models.BooleanField(_("the funder requires names"), default=False)
    licence = models.CharField(_("licence of the data"), max_length=12, choices=Licence.choices, blank=True)
    note = models.TextField(_("note"), blank=True)

    objects: ClassVar[models.Manager["Grant"]] = GrantQuerySet.as_manager()

    class Meta:
        verbose_name = _("grant")
        verbose_name_plural = _("grants")
        ordering = ["-starts_on", "name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["group", "name"], name="grants_grant_name_once"),
            models.CheckConstraint(
                condition=Q(ends_on__gte=F("starts_on")),
                name="grants_grant_ends_after_start",
                violation_error_message=_("The last day must not be before the first."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("grants:grant", args=[self.group.slug, self.pk])

    @property
    def practice(self) -> valuation.Rounding:
        return valuation.Rounding(self.rounding)


class HourlyRateQuerySet(models.QuerySet["HourlyRate"]):
    def standing(self) -> Self:
        """Rates that were not withdrawn."""
        return self.filter(withdrawn_at=None)

    def for_grant(self, grant: Grant) -> Self:
        """What hours of the grant can be valued by: the group's rates and the grant's own."""
        return self.standing().filter(Q(grant=grant) | Q(grant=None), group_id=grant.group_id)


class HourlyRate(models.Model):
    """What an hour in a role is worth from a date on, with its source. A wrong one is withdrawn, never changed."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="hourly_rates")
    grant = models.ForeignKey(
        Grant, on_delete=models.CASCADE, null=True, blank=True, related_name="rates", verbose_name=_("only for")
    )
    role = models.CharField(_("role"), max_length=7, choices=ROLES)
    since = models.DateField(_("holds from"))
    hourly = models.DecimalField(
        _("value of an hour"),
        max_digits=8,
        decimal_places=4,
        validators=[MinValueValidator(0), MaxValueValidator(valuation.HOURLY_MAX)],
    )
    currency = models.CharField(_("currency"), max_length=3, validators=[a_currency])
    fringe_percent = models.DecimalField(
        _("benefits on top, %"),
        max_digits=5,
        decimal_places=2,
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(valuation.FRINGE_PERCENT_MAX)],
    )
    source = models.CharField(_("source"), max_length=240)
    source_date = models.DateField(_("date of the source"))
    recorded_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    withdrawn_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    objects: ClassVar[models.Manager["HourlyRate"]] = HourlyRateQuerySet.as_manager()

    class Meta:
        verbose_name = _("hourly value")
        verbose_name_plural = _("hourly values")
        ordering = ["role", "-since", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["group", "role", "currency", "since"],
                condition=Q(grant=None, withdrawn_at=None),
                name="grants_rate_of_group_once",
            ),
            models.UniqueConstraint(
                fields=["grant", "role", "currency", "since"],
                condition=Q(withdrawn_at=None),
                name="grants_rate_of_grant_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role} {self.hourly} {self.currency} from {self.since}"

    def rate(self) -> valuation.Rate:
        """The same as the rules of the trade take it."""
        return valuation.Rate(
            role=valuation.Role(self.role),
            since=self.since,
            hourly=self.hourly,
            currency=self.currency,
            fringe_percent=self.fringe_percent,
            own=self.grant_id is not None,
        )


class ReportingDateQuerySet(models.QuerySet["ReportingDate"]):
    def open(self) -> Self:
        """Reports that were not sent, the next one first."""
        return self.filter(sent_at=None)


class ReportingDate(models.Model):
    """A day on which a funder wants a report, and what it should cover."""

    grant = models.ForeignKey(Grant, on_delete=models.CASCADE, related_name="reporting_dates")
    due_on = models.DateField(_("due on"))
    covers_to = models.DateField(_("covers the work up to"))
    sent_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    sent_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[models.Manager["ReportingDate"]] = ReportingDateQuerySet.as_manager()

    class Meta:
        verbose_name = _("reporting date")
        verbose_name_plural = _("reporting dates")
        ordering = ["due_on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["grant", "due_on"], name="grants_reporting_date_once"),
            models.CheckConstraint(condition=Q(covers_to__lte=F("due_on")), name="grants_report_covers_the_past"),
        ]

    def __str__(self) -> str:
        return f"{self.grant_id} due {self.due_on}"

    def is_late(self, today: datetime.date) -> bool:
        return self.sent_at is None and self.due_on < today
