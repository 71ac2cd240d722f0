"""Rows of lists of stands."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, prefetch_related_objects

from reedcrew.people.models import Group
from reedcrew.stands.models import Quadrat, Stand, Survey, Zone
from reedcrew.stands.queries.seasons import rules_of
from reedcrew.trade.policy import Policy
from reedcrew.trade.season import SeasonVerdict


@dataclass(frozen=True, slots=True, kw_only=True)
class StandRow:
    """A stand in a list: where it is, what it is, and what the calendar says today."""

    stand: Stand
    today: SeasonVerdict
    year_of_treatment: int | None


def stand_rows(stands: Iterable[Stand], policy: Policy, at: datetime.datetime) -> tuple[StandRow, ...]:
    """Rows of a list of stands, which come with their sites. One query, for the notices of all sites."""
    listed = list(stands)
    prefetch_related_objects(listed, "site__notices")
    rows = []
    for stand in listed:
        day = at.astimezone(stand.site.zone_info).date()
        rows.append(
            StandRow(
                stand=stand,
                today=rules_of(stand.site, policy).verdict(day),
                year_of_treatment=stand.year_of_treatment(day.year),
            )
        )
    return tuple(rows)


def unsurveyed_stands(groups: Iterable[Group], year: int) -> list[Stand]:
    """Stands that may be cut and have zones, but no survey of the year that counted each of them. One query."""
    in_it = Quadrat.objects.filter(survey=OuterRef(OuterRef("pk")), zone=OuterRef("pk"))
    left_out = Zone.objects.filter(stand=OuterRef("stand")).exclude(Exists(in_it))
    whole = Survey.objects.standing().filter(stand=OuterRef("pk"), surveyed_on__year=year).exclude(Exists(left_out))
    stands = Stand.objects.open_to_work().filter(site__group__in=list(groups))
    lacking = stands.filter(Exists(Zone.objects.filter(stand=OuterRef("pk")))).exclude(Exists(whole))
    return list(lacking.select_related("site__group").order_by("site__name", "name", "pk"))
