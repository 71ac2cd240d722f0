"""The safety record of a report: how many incidents of each kind on each day, and nothing about whom."""

from collections.abc import Sequence

from django.db.models import Count

from reedcrew.fieldbook.models import Incident
from reedcrew.grants.reports.records import SafetyCount


def safety_counts(days: Sequence[int]) -> tuple[SafetyCount, ...]:
    """Incidents of these days that were not struck out, by date and kind. One query."""
    words = dict(Incident.Kind.choices)
    rows = (
        Incident.objects.standing()
        .filter(day__in=days)
        .order_by("day__date", "day", "kind")
        .values_list("day", "day__date", "kind")
        .annotate(Count("pk"))
    )
    return tuple(
        SafetyCount(day_id=day, date=date, kind=str(words[kind]), count=count) for day, date, kind, count in rows
    )
