"""Gauges: where a site's water level is read, and from what zero it is counted."""

import datetime
from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from reedcrew.stands.models.sites import Site

UNIT = "cm"  # of every level that is kept; other units are turned into it where they are entered


class GaugeQuerySet(models.QuerySet["Gauge"]):
    def in_use(self) -> Self:
        """The gauge that is read now: at most one a site."""
        return self.filter(until=None)


class Gauge(models.Model):
    """A staff or mark at which a site's water level is read. ``datum`` says what its zero is.

    Levels mean something only against their own zero. A gauge that is replaced, or whose zero is set anew, therefore
    ends, and another begins on a later day: readings and surveys of the one are never compared with those of the other.
    """

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="gauges")
    name = models.CharField(_("name or number of the gauge"), max_length=60)
    datum = models.CharField(_("datum: what its zero is"), max_length=200)
    note = models.TextField(_("note"), blank=True)
    since = models.DateField(_("read from this day on"))
    until = models.DateField(_("last day on which it was read"), null=True, blank=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)  # rises with each edit: a stale form is noticed

    objects: ClassVar[models.Manager["Gauge"]] = GaugeQuerySet.as_manager()

    class Meta:
        verbose_name = _("gauge")
        verbose_name_plural = _("gauges")
        ordering = ["-since", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["site"], condition=Q(until=None), name="stands_gauge_one_in_use"),
            models.CheckConstraint(condition=~Q(datum=""), name="stands_gauge_has_datum"),
            models.CheckConstraint(
                condition=Q(until=None) | Q(until__gte=F("since")), name="stands_gauge_ends_after_it_begins"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def serves(self, day: datetime.date) -> bool:
        """Whether a day of the site lies in the time in which this gauge is read."""
        return self.since <= day and (self.until is None or day <= self.until)
