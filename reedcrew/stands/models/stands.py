"""Stands: patches of reed, followed until they are gone."""

from typing import ClassVar, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from reedcrew.people.models import Group
from reedcrew.stands.models.sites import Site
from reedcrew.trade.identification import Identification


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
        (Identification.UNCHECKED.value, _("not decided yet")),
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
    outline = models.JSONField(_("outline"), null=True, blank=True, editable=False)  # a geometry of RFC 7946
    area_m2 = models.DecimalField(_("area, m²"), max_digits=12, decimal_places=1, null=True, blank=True, editable=False)
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
