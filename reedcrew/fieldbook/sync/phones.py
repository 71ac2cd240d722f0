"""Phones of a day and their clocks: both times are kept, the error is estimated, and times are put right by it."""

import datetime
import uuid

from reedcrew.fieldbook.hours import OPENS_BEFORE, TAKES_UNTIL
from reedcrew.fieldbook.models import PhoneOfDay
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay

CLOCK_SLACK_S = 60  # (cp) of a phone's clock, and of the way of a request: less is no error
OFFSET_S_MAX = 2_000_000_000  # what the column holds
ALWAYS = frozenset({"incident", "note"})  # taken on a closed day too: neither hours nor stems depend on them


def note_phone(
    day: WorkDay, key: uuid.UUID, name: str, author: Account, offset_s: int, now: datetime.datetime
) -> PhoneOfDay:
    """The phone's row, with what it said last. Under the day's lock."""
    latest = {"account": author, "last_at": now, "offset_s": offset_s, **({"name": name} if name else {})}
    phone, _made = PhoneOfDay.objects.update_or_create(
        day=day, key=key, defaults=latest, create_defaults={**latest, "first_at": now}
    )
    return phone


def offset_of(sent_at: datetime.datetime, now: datetime.datetime) -> int:
    """Server time minus phone time in whole seconds, as a request shows it: the way of the request is in it."""
    return max(-OFFSET_S_MAX, min(OFFSET_S_MAX, round((now - sent_at).total_seconds())))


def put_right(phone_at: datetime.datetime | None, offset_s: int) -> datetime.datetime | None:
    """A phone's time by the server's clock. Small errors are left as they are."""
    if phone_at is None or abs(offset_s) <= CLOCK_SLACK_S:
        return phone_at
    try:
        return phone_at + datetime.timedelta(seconds=offset_s)
    except OverflowError:
        return None


def likely(day: WorkDay, at: datetime.datetime, now: datetime.datetime, kind: str) -> datetime.datetime:
    """The nearest time at which it can have happened."""
    if kind in ALWAYS:
        return min(at, now)
    return max(min(at, now, day.ends_at + TAKES_UNTIL), day.starts_at - OPENS_BEFORE)
