"""The hours ledger, the approval of a day's lines, and which grant counts an hour."""

import datetime
from typing import Any, ClassVar, NoReturn, Self

from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.models import Attendance
from reedcrew.grants.models.grants import ACTIVITIES, KINDS, ROLES, Grant
from reedcrew.people.models import Account, Group, Member
from reedcrew.stands.models import Stand
from reedcrew.trade import valuation
from reedcrew.workdays.models import WorkDay

EVIDENCE_LENGTH = 400


class LedgerOnlyGrows(TypeError):
    """Somebody's code would change or remove a line of the ledger."""


def evidence_path(entry: "HourEntry", name: str) -> str:
    """Where a file that shows an hour lies under MEDIA_ROOT."""
    return f"evidence/{name}"


class HourEntryQuerySet(models.QuerySet["HourEntry"]):
    def of_group(self, group: Group) -> Self:
        return self.filter(group=group)

    def standing(self) -> Self:
        """Entries that no later entry corrects: the ones that count."""
        # Not a join that must find nothing, whose rows a planner cannot estimate.
        return self.filter(~Exists(HourEntry.objects.filter(corrects=OuterRef("pk"))))

    def in_period(self, first: datetime.date | None, last: datetime.date | None) -> Self:
        """Entries dated from ``first`` to ``last``, both included; None leaves that side open."""
        entries = self if first is None else self.filter(date__gte=first)
        return entries if last is None else entries.filter(date__lte=last)

    def of_stand(self, stand: Stand | None) -> Self:
        return self if stand is None else self.filter(stand=stand)

    def for_list(self) -> Self:
        return self.select_related("member", "day", "stand", "stand__site", "claim", "claim__grant", "entered_by")

    def eligible(self, grant: Grant) -> Self:
        """Standing entries that fit the grant's period, stands, kinds and activities, claimed or not."""
        return (
            self.filter(group=grant.group_id)
            .standing()
            .in_period(grant.starts_on, grant.ends_on)
            .filter(stand__in=grant.stands.all(), kind__in=grant.kinds, activity__in=grant.activities)
        )

    def claimable(self, grant: Grant) -> Self:
        """Eligible entries that no grant has claimed."""
        return self.eligible(grant).filter(claim=None)

    def with_approval(self) -> Self:
        """Adds ``approved``: whether the coordinator has approved the lines of the entry's day."""
        return self.annotate(approved=Exists(Approval.objects.standing().filter(day=OuterRef("day"))))

    def update(self, **kwargs: Any) -> NoReturn:
        raise LedgerOnlyGrows("enter a correction: a line of the ledger is never changed")

    def delete(self) -> NoReturn:
        raise LedgerOnlyGrows("enter a correction: a line of the ledger is never removed")

    def claimed_by(self, grant: Grant | None) -> Self:
        return self if grant is None else self.filter(claim__grant=grant)


class HourEntry(models.Model):
    """One line of the hours ledger. Append-only: a correction is a new line that names the old one.

    Field work comes from a sign-in and sign-out of the fieldbook. Travel and preparation are of a work day too, and
    have evidence of their own. What no later line corrects stands.
    """

    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="hour_entries")
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="hour_entries")
    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="hour_entries")
    stand = models.ForeignKey(Stand, on_delete=models.PROTECT, related_name="hour_entries")
    attendance = models.ForeignKey(
        Attendance, on_delete=models.PROTECT, null=True, blank=True, related_name="hour_entries"
    )
    kind = models.CharField(max_length=11, choices=KINDS, default=valuation.Kind.FIELD.value)
    activity = models.CharField(max_length=8, choices=ACTIVITIES, default=valuation.Activity.LAND.value)
    role = models.CharField(max_length=7, choices=ROLES, default=valuation.Role.CREW.value)
    date = models.DateField()  # the site's
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField()
    minutes = models.PositiveIntegerField()  # raw whole minutes; rounding happens once, in a report
    corrects = models.OneToOneField("self", on_delete=models.PROTECT, null=True, blank=True, related_name="correction")
    reason = models.CharField(max_length=200, blank=True)
    evidence = models.CharField(_("evidence"), max_length=EVIDENCE_LENGTH, blank=True)
    evidence_file = models.FileField(_("file"), upload_to=evidence_path, blank=True)
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
            models.CheckConstraint(
                condition=Q(kind=valuation.Kind.FIELD.value) | ~Q(evidence=""),
                name="grants_hours_have_evidence",
                violation_error_message=_("Travel and preparation need evidence."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.date} {self.minutes} min"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise LedgerOnlyGrows("enter a correction: a line of the ledger is never changed")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise LedgerOnlyGrows("enter a correction: a line of the ledger is never removed")


class ApprovalQuerySet(models.QuerySet["Approval"]):
    def standing(self) -> Self:
        """Approvals that were not taken back: their days are locked."""
        return self.filter(reopened_at=None)


class Approval(models.Model):
    """A coordinator has looked through the lines of one day: they are locked until it is opened again with a reason."""

    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="approvals")
    entries = models.PositiveIntegerField()  # standing lines of the day at that moment, and their raw minutes
    minutes = models.PositiveIntegerField()
    approved_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    approved_at = models.DateTimeField()
    reopened_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    reopened_at = models.DateTimeField(null=True, blank=True)
    reopened_reason = models.CharField(max_length=200, blank=True)

    objects: ClassVar[models.Manager["Approval"]] = ApprovalQuerySet.as_manager()

    class Meta:
        verbose_name = _("approval")
        verbose_name_plural = _("approvals")
        ordering = ["approved_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["day"], condition=Q(reopened_at=None), name="grants_day_approved_once"),
            models.CheckConstraint(
                condition=Q(reopened_at=None, reopened_by=None, reopened_reason="")
                | (Q(reopened_at__isnull=False, reopened_by__isnull=False) & ~Q(reopened_reason="")),
                name="grants_reopening_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.day_id} approved {self.approved_at:%Y-%m-%d}"


class Claim(models.Model):
    """An hours entry counted toward a grant: at most one grant an entry, by the database's own word.

    A correction takes the claim over. A claim that is released becomes a Release.
    """

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


class Release(models.Model):
    """A claim that no longer holds: who had made it and when, and who let go of it, when and why."""

    entry = models.ForeignKey(HourEntry, on_delete=models.PROTECT, related_name="releases")
    grant = models.ForeignKey(Grant, on_delete=models.PROTECT, related_name="releases")
    claimed_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    claimed_at = models.DateTimeField()
    released_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    released_at = models.DateTimeField()
    reason = models.CharField(_("reason"), max_length=200)

    objects: ClassVar[models.Manager["Release"]] = models.Manager()

    class Meta:
        verbose_name = _("release of a claim")
        verbose_name_plural = _("releases of claims")
        ordering = ["released_at", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="grants_release_has_reason")]

    def __str__(self) -> str:
        return f"{self.entry_id} released from {self.grant_id}"
