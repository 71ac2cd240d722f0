"""What work days show on the start pages."""

import datetime

from django.http import HttpRequest

from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.roles import Deed
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.own import by_day
from reedcrew.workdays.queries import next_days_of

DAYS_SHOWN = 6
SIGN_UPS_SHOWN = 12  # a family on a few days


def my_next_days(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """Where the reader and the reader's children are expected, in every group."""
    sign_ups = list(next_days_of(request.user, now)[:SIGN_UPS_SHOWN])  # type: ignore[arg-type]  # signed in
    days = by_day(sign_ups)
    return Panel(template="workdays/_my_next_days.html", context={"days": days}) if days else None


def next_days_of_group(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The group's next days and how full they are."""
    reader: GroupRequest = request  # type: ignore[assignment]  # group pages only
    days = list(WorkDay.objects.of_group(reader.group).with_stand().with_counts().upcoming(now)[:DAYS_SHOWN])
    context = {"days": days, "group": reader.group, "may_post": reader.member.may(Deed.POST_DAY)}
    return Panel(template="workdays/_next_days.html", context=context)
