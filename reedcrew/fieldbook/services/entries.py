"""What is asked of every entry: that the day is open, that the time can be, that nothing is written twice.

Entries of one day are judged one after another, under the lock of the day's row. A phone may give an entry its id; the
same id again answers with the entry that stands.
"""

import datetime
import uuid
from typing import TypeVar

from django.db.models import QuerySet

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.hours import OPENS_BEFORE, TAKES_UNTIL
from reedcrew.fieldbook.models import Attendance, FieldEntry
from reedcrew.people.models import Member
from reedcrew.workdays.models import WorkDay

_Entry = TypeVar("_Entry", bound=FieldEntry)


def open_day(day: WorkDay) -> WorkDay:
    """The day as it is now, its row held. Raises FieldbookClosed unless it is posted."""
    day = WorkDay.objects.held(day.pk)
    if not day.is_open:
        raise errors.FieldbookClosed(status=day.get_status_display())
    return day


def entered(model: type[_Entry], day: WorkDay, entry_id: uuid.UUID | None, **said: object) -> _Entry | None:
    """The entry that has this id already, as after a double press.

    Raises EntryOfAnotherDay for an id that was given on another day, and SentAlready where it says something else than
    ``said``, as after a step back in the browser: nothing is dropped unseen.
    """
    entry = model._default_manager.filter(pk=entry_id).first() if entry_id else None
    if entry is not None and entry.day_id != day.pk:
        raise errors.EntryOfAnotherDay
    if entry is not None and any(getattr(entry, name) != value for name, value in said.items()):
        raise errors.SentAlready
    return entry


def stays_of(day: WorkDay) -> QuerySet[Attendance]:
    """The stays of a day that count, with their people."""
    return Attendance.objects.standing().filter(day=day).select_related("member")


def ask_time(day: WorkDay, at: datetime.datetime, now: datetime.datetime) -> None:
    """Raises TimeInFuture, TooEarly or TooLate for a time at which nothing of this day can have happened."""
    if at > now:
        raise errors.TimeInFuture
    if at < day.starts_at - OPENS_BEFORE:
        raise errors.TooEarly(hours=OPENS_BEFORE // datetime.timedelta(hours=1))
    if at > day.ends_at + TAKES_UNTIL:
        raise errors.TooLate(hours=TAKES_UNTIL // datetime.timedelta(hours=1))


def ask_children(day: WorkDay, guardian: Member) -> None:
    """Design, H3: a minor is never on site without their own guardian. Raises ChildrenOnSite."""
    children = Attendance.objects.on_site().filter(day=day, member__guardian=guardian).select_related("member__profile")
    if minors := [child.member.name for child in children if not child.member.profile.adult_on(day.date)]:
        raise errors.ChildrenOnSite(children=", ".join(minors))
