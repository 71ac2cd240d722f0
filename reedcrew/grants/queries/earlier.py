"""Sums of earlier work, which is beside the ledger: shown in the group's own view, in reports only where asked."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, QuerySet, Sum
from django.db.models.functions import ExtractYear

from reedcrew.grants.models import EarlierBatch, EarlierLine
from reedcrew.people.models import Group
from reedcrew.people.queries import member_name


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierYear:
    """What was taken over of one year. ``stems`` is None where no row says any."""

    year: int
    minutes: int
    people: int
    days: int
    stems: int | None

    @property
    def hours(self) -> Decimal:
        return Decimal(self.minutes) / 60


def earlier_lines(
    group: Group, first: datetime.date | None = None, last: datetime.date | None = None
) -> QuerySet[EarlierLine]:
    """The lines of earlier work in a period, both days included, with their stands."""
    return EarlierLine.objects.of_group(group).in_period(first, last).select_related("stand__site")


def earlier_years(group: Group) -> list[EarlierYear]:
    """Sums of earlier work by year, the first year first, in one query. Days are dates with any work."""
    rows = (
        EarlierLine.objects.of_group(group)
        .order_by()
        .annotate(year=ExtractYear("date"))
        .values("year")
        .annotate(
            minutes=Sum("minutes"),
            people=Count("code", distinct=True),
            days=Count("date", distinct=True),
            stems=Sum("stems"),
        )
        .order_by("year")
    )
    return [EarlierYear(**row) for row in rows]


def batches(group: Group) -> QuerySet[EarlierBatch]:
    """The files of a group, the latest first, with the names of who took them over and undid them."""
    return EarlierBatch.objects.filter(group=group).annotate(
        uploader=member_name(group="group", account="uploaded_by"),
        importer=member_name(group="group", account="imported_by"),
        undoer=member_name(group="group", account="undone_by"),
    )
