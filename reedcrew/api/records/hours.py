"""Lines of the hours ledger. A line never changes: what corrects it is a line of its own that names it."""

import datetime
from typing import Any

from django.db.models import Max, Q

from reedcrew.api.records.changes import latest
from reedcrew.api.records.days import in_site_time
from reedcrew.api.records.people import person_record
from reedcrew.grants.models import Approval, HourEntry
from reedcrew.grants.models.hours import HourEntryQuerySet

Record = dict[str, Any]


def changed_since(rows: HourEntryQuerySet, since: datetime.datetime) -> HourEntryQuerySet:
    """Lines that were entered or corrected since then, or whose day was approved or opened again."""
    looked_at = Approval.objects.filter(Q(approved_at__gte=since) | Q(reopened_at__gte=since)).values("day")
    return rows.filter(Q(entered_at__gte=since) | Q(correction__entered_at__gte=since) | Q(day__in=looked_at))


def hour_records(entries: HourEntryQuerySet, *, names: bool) -> list[Record]:
    """The lines as records, in the order given. Two queries."""
    found = list(entries.with_approval().select_related("day", "stand__site", "member__profile", "correction"))
    approvals = Approval.objects.filter(day__in={entry.day_id for entry in found}).order_by().values_list("day")
    looked_at = {
        day: latest(approved, reopened)
        for day, approved, reopened in approvals.annotate(a=Max("approved_at"), b=Max("reopened_at"))
    }
    return [_hours(entry, looked_at.get(entry.day_id), names=names) for entry in found]


# --- Private ---------------------------------------------------------------------------------------------------------


def _hours(entry: HourEntry, looked_at: datetime.datetime | None, *, names: bool) -> Record:
    correction = getattr(entry, "correction", None)
    zone = entry.stand.site.zone_info
    return {
        "id": entry.pk,
        "person": person_record(entry.member, entry.date, names=names),
        "day": {"id": entry.day_id, "title": entry.day.title, "date": entry.day.date},
        "stand": {"id": entry.stand_id, "name": entry.stand.name},
        "date": entry.date,
        "kind": entry.kind,
        "activity": entry.activity,
        "role": entry.role,
        "started_at": in_site_time(entry.started_at, zone),
        "ended_at": in_site_time(entry.ended_at, zone),
        "minutes": entry.minutes,
        "counts": correction is None,
        "corrects": entry.corrects_id,
        "corrected_by": None if correction is None else correction.pk,
        "approved": entry.approved,  # type: ignore[attr-defined]  # annotated by with_approval
        "entered_at": in_site_time(entry.entered_at, zone),
        "updated_at": latest(entry.entered_at, correction.entered_at if correction else None, looked_at),
    }
