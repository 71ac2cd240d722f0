from typing import ClassVar, Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account
from reedcrew.stands.models import Zone
from reedcrew.trade.plan import Role
from reedcrew.workdays.models import SignUp, WorkDay


class PlanDue(models.Model):
    """A day whose roster, zones or gear changed since its last plan. The row is the order; a wake-up hastens it."""

    day = models.OneToOneField(WorkDay, on_delete=models.CASCADE, related_name="plan_due")
    since = models.DateTimeField()

    objects: ClassVar[models.Manager["PlanDue"]] = models.Manager()

    class Meta:
        verbose_name = _("plan that is due")
        verbose_name_plural = _("plans that are due")
        ordering = ["since", "pk"]

    def __str__(self) -> str:
        return f"plan due for {self.day_id}"


class Plan(models.Model):
    """One plan of a day as it was computed. The latest is current; earlier ones stay for the record."""

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="plans")
    current = models.BooleanField(default=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    status = models.CharField(max_length=16)  # a value of trade.plan.Status
    answer = models.JSONField()  # crews.records.plan_record: all but the people

    objects: ClassVar[models.Manager["Plan"]] = models.Manager()

    class Meta:
        verbose_name = _("plan")
        verbose_name_plural = _("plans")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["day"], condition=Q(current=True), name="crews_plan_one_current")
        ]

    def __str__(self) -> str:
        return f"plan of {self.day_id} at {self.made_at:%Y-%m-%d %H:%M}"


class AssignmentQuerySet(models.QuerySet["Assignment"]):
    def in_water(self) -> Self:
        return self.filter(kind=Assignment.Kind.UNIT)

    def for_plan_page(self) -> Self:
        return self.select_related("sign_up", "sign_up__member", "zone")


class Assignment(models.Model):
    """What a plan gives one person: a unit, a shore role, or nothing with the reasons."""

    class Kind(models.TextChoices):
        UNIT = "unit", _("in a unit")
        SHORE = "shore", _("on shore")
        NOT_PLACED = "not placed", _("not placed")

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="assignments")
    sign_up = models.ForeignKey(SignUp, on_delete=models.CASCADE, related_name="assignments")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    unit_number = models.PositiveSmallIntegerField(null=True, blank=True)
    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    role = models.CharField(max_length=12, blank=True, choices=[(role.value, role.value) for role in Role])
    gear = models.JSONField(default=list, blank=True)  # crews.records.allotment_records
    reasons = models.JSONField(default=list, blank=True)  # crews.records.reason_records

    objects: ClassVar[models.Manager["Assignment"]] = AssignmentQuerySet.as_manager()

    class Meta:
        verbose_name = _("assignment")
        verbose_name_plural = _("assignments")
        ordering = ["kind", "unit_number", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "sign_up"], name="crews_assignment_once"),
            models.CheckConstraint(
                condition=~Q(kind="unit") | Q(unit_number__isnull=False, zone__isnull=False),
                name="crews_unit_has_number_and_zone",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sign_up_id}: {self.kind}"
