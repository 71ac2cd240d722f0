import uuid
from typing import ClassVar, Self, TypeVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Zone
from reedcrew.workdays.models import WorkDay

LOAD_COUNT_MAX = 5000  # piles or bags of one entry; more is a slip (convention)

_Entry = TypeVar("_Entry", bound="FieldEntry")


class FieldEntryQuerySet(models.QuerySet[_Entry]):
    def standing(self) -> Self:
        """Entries that were not struck out."""
        return self.filter(struck_at=None)


class FieldEntry(models.Model):
    """What every entry of the fieldbook has: an id that a phone may give, its author and its time.

    An entry is never removed: a wrong one is struck out, with who, when and why.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    day = models.ForeignKey(WorkDay, on_delete=models.PROTECT, related_name="%(class)s_entries")
    entered_by = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField()
    struck_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        abstract = True
        ordering = ["entered_at", "id"]

    def __str__(self) -> str:
        return f"{self._meta.verbose_name} {self.pk}"


class AttendanceQuerySet(FieldEntryQuerySet["Attendance"]):
    def on_site(self) -> Self:
        """People who are signed in and not signed out."""
        return self.standing().filter(signed_out_at=None)


class Attendance(FieldEntry):
    """One stay of one person on site. Someone who leaves and comes back has two."""

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="attendances")
    signed_in_at = models.DateTimeField(_("signed in at"))
    signed_out_at = models.DateTimeField(_("signed out at"), null=True, blank=True)
    signed_out_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    in_water = models.BooleanField(_("worked in water"), default=False)

    objects: ClassVar[models.Manager["Attendance"]] = AttendanceQuerySet.as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("attendance")
        verbose_name_plural = _("attendances")
        ordering = ["signed_in_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["day", "member"],
                condition=Q(signed_out_at=None, struck_at=None),
                name="fieldbook_signed_in_once",
                violation_error_message=_("This person is signed in already."),
            ),
            models.CheckConstraint(
                condition=Q(signed_out_at=None) | Q(signed_out_at__gte=F("signed_in_at")),
                name="fieldbook_out_after_in",
                violation_error_message=_("Nobody can sign out before they signed in."),
            ),
        ]

    @property
    def minutes(self) -> int | None:
        """Whole minutes on site; None while the person is there."""
        if self.signed_out_at is None:
            return None
        return int((self.signed_out_at - self.signed_in_at).total_seconds() // 60)


class Tally(FieldEntry):
    """Stems cut in one zone: counted, or bundles times the stems of a sample of bundles, with the sample's interval."""

    class Method(models.TextChoices):
        COUNTED = "counted", _("counted")
        BUNDLES = "bundles", _("bundles × stems a bundle")

    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, related_name="tallies")
    unit_number = models.PositiveSmallIntegerField(_("unit"), null=True, blank=True)
    method = models.CharField(_("how counted"), max_length=7, choices=Method.choices)
    stems = models.PositiveIntegerField(_("stems"))
    bundles = models.PositiveIntegerField(_("bundles"), null=True, blank=True)
    sample = models.JSONField(_("stems in each bundle of the sample"), default=list, blank=True)
    stems_low = models.PositiveIntegerField(null=True, blank=True)  # 95 % limits; None where none can be claimed
    stems_high = models.PositiveIntegerField(null=True, blank=True)

    objects: ClassVar[models.Manager["Tally"]] = FieldEntryQuerySet["Tally"].as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("tally")
        verbose_name_plural = _("tallies")
        constraints = [
            models.CheckConstraint(
                condition=Q(method="counted", bundles=None) | Q(method="bundles", bundles__isnull=False),
                name="fieldbook_tally_bundles_by_method",
            ),
        ]

    @property
    def sample_mean(self) -> float | None:
        """Mean stems of the sampled bundles; None where nothing was sampled."""
        return sum(self.sample) / len(self.sample) if self.sample else None


class LoadQuerySet(FieldEntryQuerySet["Load"]):
    def in_sun(self) -> Self:
        """Bags that nobody has taken on yet."""
        return self.standing().filter(kind=Load.Kind.BAGS, moved_on_at=None)


class Load(FieldEntry):
    """Cut material that was taken away or put to dry."""

    class Kind(models.TextChoices):
        PILE = "pile", _("pile on dry ground")
        BAGS = "bags", _("bags in the sun")

    kind = models.CharField(_("as"), max_length=5, choices=Kind.choices)
    count = models.PositiveSmallIntegerField(
        _("how many"), validators=[MinValueValidator(1), MaxValueValidator(LOAD_COUNT_MAX)]
    )
    seed_heads = models.BooleanField(_("with seed heads"), default=False)
    place = models.CharField(_("where"), max_length=160)
    sun_until = models.DateField(_("in the sun until"), null=True, blank=True)
    # When somebody took the bags on after their time in the sun; a day that is closed long since does not matter.
    moved_on_at = models.DateTimeField(null=True, blank=True)
    moved_on_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    moved_on_to = models.CharField(_("where it went on"), max_length=160, blank=True)

    objects: ClassVar[models.Manager["Load"]] = LoadQuerySet.as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("load")
        verbose_name_plural = _("loads")
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="pile", sun_until=None) | Q(kind="bags", sun_until__isnull=False),
                name="fieldbook_bags_have_sun_date",
            ),
            models.CheckConstraint(
                condition=Q(moved_on_at=None, moved_on_by=None)
                | Q(kind="bags", moved_on_at__isnull=False, moved_on_by__isnull=False),
                name="fieldbook_bags_moved_on_by_somebody",
            ),
        ]
