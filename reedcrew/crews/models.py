from typing import ClassVar, Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Zone
from reedcrew.trade.pins import NEEDS_OTHER, NEEDS_ROLE, NEEDS_ZONE, PinKind
from reedcrew.trade.plan import Role
from reedcrew.workdays.models import SignUp, WorkDay

# The words of trade.plan.Role; the trade's reasons and items are translated by their English words too.
ROLES = [
    (Role.SPOTTER.value, _("spotter")),
    (Role.FIRST_AIDER.value, _("first-aider")),
    (Role.SIGN_IN_DESK.value, _("sign-in desk")),
    (Role.HAULER.value, _("hauler")),
    (Role.SPADE_CREW.value, _("spade crew")),
]

_NEED_OTHER, _NEED_ZONE, _NEED_ROLE = (
    sorted(kind.value for kind in kinds) for kinds in (NEEDS_OTHER, NEEDS_ZONE, NEEDS_ROLE)
)


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


class PlanQuerySet(models.QuerySet["Plan"]):
    def in_force(self) -> Self:
        """What counts on each day: the plan that people were told, or before that the latest proposal."""
        told = Plan.objects.filter(day=models.OuterRef("day"), told=True)
        return self.filter(Q(told=True) | Q(current=True) & ~models.Exists(told))


class Plan(models.Model):
    """One plan of a day as it was computed. The latest is current: a proposal until somebody accepts it.

    An accepted plan is told to people, and stays what they were told until another one is accepted. Earlier plans stay
    for the record.
    """

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="plans")
    current = models.BooleanField(default=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    status = models.CharField(max_length=16)  # a value of trade.plan.Status
    answer = models.JSONField()  # crews.records.plan_record: all but the people

    told = models.BooleanField(default=False)  # what people were told to do on the day
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    objects: ClassVar[models.Manager["Plan"]] = PlanQuerySet.as_manager()

    class Meta:
        verbose_name = _("plan")
        verbose_name_plural = _("plans")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["day"], condition=Q(current=True), name="crews_plan_one_current"),
            models.UniqueConstraint(fields=["day"], condition=Q(told=True), name="crews_plan_one_told"),
            models.CheckConstraint(
                condition=Q(told=False) | Q(accepted_at__isnull=False, accepted_by__isnull=False),
                name="crews_plan_told_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"plan of {self.day_id} at {self.made_at:%Y-%m-%d %H:%M}"


class AssignmentQuerySet(models.QuerySet["Assignment"]):
    def in_water(self) -> Self:
        return self.filter(kind=Assignment.Kind.UNIT)

    def in_force(self) -> Self:
        """Those of the plans that count: told, or before that proposed."""
        return self.filter(plan__in=Plan.objects.in_force())

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
    role = models.CharField(max_length=12, blank=True, choices=ROLES)
    gear = models.JSONField(default=list, blank=True)  # crews.records.allotment_records
    reasons = models.JSONField(default=list, blank=True)  # crews.records.reason_records
    remedies = models.JSONField(default=list, blank=True)  # crews.records.reason_records: what would let them in
    fallen = models.JSONField(default=list, blank=True)  # why what was told stands no longer, as of the last planning

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


class PlanPin(models.Model):
    """What an organizer wants of every plan of a day, within the hard rules. Removing the pin removes the row."""

    KINDS = [
        (PinKind.PAIR.value, _("work in one unit")),
        (PinKind.NOT_PAIR.value, _("never work in one unit")),
        (PinKind.ZONE.value, _("works in this zone")),
        (PinKind.NOT_ZONE.value, _("stays out of this zone")),
        (PinKind.NOT_WATER.value, _("stays out of the water")),
        (PinKind.ROLE.value, _("has this role on shore")),
        (PinKind.NOT_ROLE.value, _("does not have this role")),
    ]

    day = models.ForeignKey(WorkDay, on_delete=models.CASCADE, related_name="pins")
    kind = models.CharField(_("what to pin"), max_length=9, choices=KINDS)
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="+", verbose_name=_("person"))
    other = models.ForeignKey(
        Member, on_delete=models.CASCADE, null=True, blank=True, related_name="+", verbose_name=_("other person")
    )
    zone = models.ForeignKey(
        Zone, on_delete=models.CASCADE, null=True, blank=True, related_name="+", verbose_name=_("zone")
    )
    role = models.CharField(_("role"), max_length=12, blank=True, choices=ROLES)
    made_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    objects: ClassVar[models.Manager["PlanPin"]] = models.Manager()

    class Meta:
        verbose_name = _("pin")
        verbose_name_plural = _("pins")
        ordering = ["made_at", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(other=None) ^ Q(kind__in=_NEED_OTHER), name="crews_pin_other_by_kind"),
            models.CheckConstraint(
                condition=Q(zone__isnull=False, kind__in=[*_NEED_ZONE, PinKind.ROLE.value])
                | (Q(zone=None) & ~Q(kind__in=_NEED_ZONE)),
                name="crews_pin_zone_by_kind",
            ),
            models.CheckConstraint(condition=Q(role="") ^ Q(kind__in=_NEED_ROLE), name="crews_pin_role_by_kind"),
            models.CheckConstraint(condition=Q(other=None) | ~Q(member=models.F("other")), name="crews_pin_of_another"),
        ]

    def __str__(self) -> str:
        return f"{self.member_id} {self.kind} {self.other_id or self.zone_id or self.role}"
