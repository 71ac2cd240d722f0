import datetime
from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q, Sum
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.models import Attendance
from reedcrew.people.models import Account, Group, Member
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import WorkDay


class GrantQuerySet(models.QuerySet["Grant"]):
    def with_sums(self) -> Self:
        """Adds ``claimed_minutes``: the hours that count toward the grant, in minutes."""
        standing = Q(claims__entry__correction=None)
        return self.annotate(claimed_minutes=Coalesce(Sum("claims__entry__minutes", filter=standing), 0))


class Grant(models.Model):
    """Money given for work on some stands in a period, to be accounted for."""

    group = models.ForeignKey(Group, on_delete=models.CASCADE, related_name="grants")
    name = models.CharField(_("name"), max_length=120)
    funder = models.CharField(_("funder"), max_length=120)
    number = models.CharField(_("grant number"), max_length=60, blank=True)
    starts_on = models.DateField(_("first day"))
    ends_on = models.DateField(_("last day"))
    stands = models.ManyToManyField(Stand, related_name="grants", verbose_name=_("eligible stands"))
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


class HourEntryQuerySet(models.QuerySet["HourEntry"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def standing(self) -> Self:
        """Entries that no later entry corrects: the ones that count."""
        return self.filter(correction=None)

    def in_period(self, first: datetime.date | None, last: datetime.date | None) -> Self:
        """Entries dated from ``first`` to ``last``, both included; None leaves that side open."""
        entries = self if first is None else self.filter(date__gte=first)
        return entries if last is None else entries.filter(date__lte=last)

    def of_stand(self, stand: Stand | None) -> Self:
        return self if stand is None else self.filter(stand=stand)

    def for_list(self) -> Self:
        return self.select_related("member", "day", "stand", "stand__site", "claim", "claim__grant", "entered_by")

    def claimable(self, grant: Grant) -> Self:
        """Entries on the grant's stands and in its period that count and that no grant has claimed."""
        eligible = self.of_group(grant.group).standing().in_period(grant.starts_on, grant.ends_on)
        return eligible.filter(stand__in=grant.stands.all(), claim=None)

    def claimed_by(self, grant: Grant | None) -> Self:
        return self if grant is None else self.filter(claim__grant=grant)


class HourEntry(models.Model):
    """One line of the hours ledger. Append-only: a correction is a new line that names the old one."""

    class Kind(models.TextChoices):
        FIELD = "field", _("field work")

    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="hour_entries")
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="hour_entries")
    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="hour_entries")
    stand = models.ForeignKey(Stand, on_delete=models.PROTECT, related_name="hour_entries")
    attendance = models.ForeignKey(Attendance, on_delete=models.PROTECT, null=True, related_name="hour_entries")
    kind = models.CharField(max_length=11, choices=Kind.choices, default=Kind.FIELD)
    date = models.DateField()  # the site's
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField()
    minutes = models.PositiveIntegerField()  # raw whole minutes; rounding happens once, in a report
    corrects = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="correction")
    reason = models.CharField(max_length=200, blank=True)
    entered_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField()

    objects: ClassVar[models.Manager["HourEntry"]] = HourEntryQuerySet.as_manager()

    class Meta:
        verbose_name = _("hours entry")
        verbose_name_plural = _("hours entries")
        ordering = ["date", "started_at", "pk"]
        indexes = [models.Index(fields=["group", "date"], name="grants_hours_by_date")]
        constraints = [
            models.UniqueConstraint(
                fields=["attendance"], condition=Q(corrects=None), name="grants_attendance_entered_once"
            ),
            models.CheckConstraint(condition=Q(ended_at__gte=F("started_at")), name="grants_hours_end_after_start"),
            models.CheckConstraint(
                condition=Q(corrects=None) | ~Q(reason=""),
                name="grants_correction_has_reason",
                violation_error_message=_("A correction needs a reason."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.date} {self.minutes} min"


class Claim(models.Model):
    """An hours entry counted toward a grant: at most one grant an entry, by the database's own word."""

    entry = models.OneToOneField(HourEntry, on_delete=models.PROTECT, related_name="claim")
    grant = models.ForeignKey(Grant, on_delete=models.PROTECT, related_name="claims")
    claimed_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    claimed_at = models.DateTimeField()

    objects: ClassVar[models.Manager["Claim"]] = models.Manager()

    class Meta:
        verbose_name = _("claim")
        verbose_name_plural = _("claims")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.entry_id} toward {self.grant_id}"
