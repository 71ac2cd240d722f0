"""Who is in water, since when, and how often somebody counted."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.fieldbook.models.entries import FieldEntry, FieldEntryQuerySet
from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Zone


class WaterStintQuerySet(FieldEntryQuerySet["WaterStint"]):
    def in_water(self) -> Self:
        """People who went in and are not out."""
        return self.standing().filter(out_at=None)


class WaterStint(FieldEntry):
    """One time of one person in water, from going in to coming out. To the second: minutes matter here."""

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="water_stints")
    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, null=True, blank=True, related_name="water_stints")
    unit_number = models.PositiveSmallIntegerField(_("unit"), null=True, blank=True)
    in_at = models.DateTimeField(_("in at"))
    out_at = models.DateTimeField(_("out at"), null=True, blank=True)
    out_by = models.ForeignKey(Account, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    objects: ClassVar[models.Manager["WaterStint"]] = WaterStintQuerySet.as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("time in water")
        verbose_name_plural = _("times in water")
        ordering = ["in_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["day", "member"], condition=Q(out_at=None, struck_at=None), name="fieldbook_in_water_once"
            ),
            models.CheckConstraint(
                condition=Q(out_at=None) | Q(out_at__gte=F("in_at")), name="fieldbook_out_of_water_after_in"
            ),
        ]


class HeadCheck(FieldEntry):
    """Somebody counted the people in water, or all who came out.

    ``expected`` is how many were in water then by everything that pages and phones have said since.
    """

    seen = models.PositiveSmallIntegerField(_("people seen"))
    expected = models.PositiveSmallIntegerField(_("people expected"))
    all_out = models.BooleanField(_("everybody is out"), default=False)

    objects: ClassVar[models.Manager["HeadCheck"]] = FieldEntryQuerySet["HeadCheck"].as_manager()

    class Meta(FieldEntry.Meta):
        verbose_name = _("head count")
        verbose_name_plural = _("head counts")

    @property
    def agrees(self) -> bool:
        """Whether as many were seen as were expected."""
        return self.seen == self.expected
