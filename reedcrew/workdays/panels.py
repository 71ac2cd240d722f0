"""What work days show on the start pages."""

import datetime

from django.http import HttpRequest

from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.roles import Deed
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.queries import next_days_of

DAYS_SHOWN = 6


def my_next_days(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """Where the reader and the reader's children are expected, in every group."""
    sign_ups = list(next_days_of(request.user, now)[:DAYS_SHOWN])  # type: ignore[arg-type]  # signed in
    return Panel(template="workdays/_my_next_days.html", context={"sign_ups": sign_ups}) if sign_ups else None


def next_days_of_group(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The group's next days and how full they are."""
    reader: GroupRequest = request  # type: ignore[assignment]  # group pages only
    days = list(WorkDay.objects.of_group(reader.group).with_stand().with_counts().upcoming(now)[:DAYS_SHOWN])
    context = {"days": days, "group": reader.group, "may_post": reader.member.may(Deed.POST_DAY)}
    return Panel(template="workdays/_next_days.html", context=context)
