"""Rows that are tried until they are done: one worker claims a row, and what failed is tried again ever later.

A row has ``next_try_at``, ``tries`` and ``tried_at``. The claim is the next try put off: a worker that dies leaves a
row that is tried again when its claim ends. A lost mark may repeat a try, never lose it.
"""

import datetime
from collections.abc import Sequence
from typing import Any

from django.db.models import F, QuerySet


def claim(rows: "QuerySet[Any]", *, seen: datetime.datetime, now: datetime.datetime, until: datetime.datetime) -> bool:
    """Take the one row of ``rows`` for a try, as it was ``seen`` to be due; False where another worker was quicker."""
    taken = rows.filter(next_try_at=seen).update(next_try_at=until, tries=F("tries") + 1, tried_at=now)
    return bool(taken)


def next_try(*, tries: int, waits: Sequence[datetime.timedelta], now: datetime.datetime) -> datetime.datetime:
    """When to try again after so many tries, the last of them just now: the last wait repeats."""
    return now + waits[min(tries, len(waits)) - 1]
