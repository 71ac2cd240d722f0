"""When something was last changed, from the record of deeds and the times that rows carry themselves."""

import datetime
from collections.abc import Collection, Mapping

from django.db import models
from django.db.models import Max

from reedcrew.people.models import AuditEntry, Group

Moments = Mapping[int, datetime.datetime | None]


def latest(*moments: datetime.datetime | None) -> datetime.datetime | None:
    """The latest of some moments; None where none is known."""
    return max((moment for moment in moments if moment is not None), default=None)


def last_deeds(
    group: Group, kind: type[models.Model], keys: Collection[int] | None = None
) -> dict[int, datetime.datetime]:
    """The moment of the last recorded deed to each of these rows, of all rows of the kind where none are named.

    A row without a recorded deed, as one that was put in by hand, is left out. One query.
    """
    label = f"{kind._meta.label}:"
    deeds = AuditEntry.objects.filter(group=group).order_by()
    if keys is None:
        deeds = deeds.filter(subject__startswith=label)
    else:
        deeds = deeds.filter(subject__in=[f"{label}{key}" for key in keys])
    rows = deeds.values_list("subject").annotate(at=Max("at"))
    return {int(key): at for key, at in ((subject.removeprefix(label), at) for subject, at in rows) if key.isdigit()}


def changed_keys(moments: Moments, since: datetime.datetime) -> list[int]:
    """Keys of rows that changed at that moment or after it, and of those of which nobody knows when they did."""
    return [key for key, at in moments.items() if at is None or at >= since]
