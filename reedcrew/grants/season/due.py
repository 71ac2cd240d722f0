"""What the next report still needs."""

import datetime
from dataclasses import dataclass

from reedcrew.grants.models import ReportingDate
from reedcrew.grants.queries.progress import Lack, lacks_of, progress_of
from reedcrew.people.models import Group

LATER_SHOWN = 5  # reports after the next one that are named


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """The earliest report that was not sent, what it lacks and where that is put right, and the reports after it."""

    report: ReportingDate
    is_late: bool
    lacks: tuple[Lack, ...]
    later: tuple[ReportingDate, ...]


def due_of(group: Group, now: datetime.datetime, today: datetime.date) -> Due | None:
    """What needs doing before the next reporting date; None where no report is due.

    The number of queries does not grow with grants, hours or days.
    """
    waiting = ReportingDate.objects.open().filter(grant__group=group).select_related("grant__group")
    reports = list(waiting.order_by("due_on", "pk")[: LATER_SHOWN + 1])
    if not reports:
        return None
    first, *later = reports
    return Due(
        report=first,
        is_late=first.is_late(today),
        lacks=tuple(lacks_of(first.grant, first, progress_of(first.grant, now), now)),
        later=tuple(later),
    )
