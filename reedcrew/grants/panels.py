"""What grants show on start pages."""

import datetime

from django.db.models import F, Q, Sum
from django.http import HttpRequest

from reedcrew.grants.models import HourEntry
from reedcrew.people.home import Panel


def my_hours(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """The way to one's own hours and those of children in one's care, where there are any. One query."""
    mine = Q(member__account=request.user) | Q(member__guardian__account=request.user)
    lines = HourEntry.objects.standing().filter(mine, member__left_at=None, minutes__gt=0).order_by()
    people = (
        lines.values("member", slug=F("group__slug"), name=F("member__name"), group_name=F("group__name"))
        .annotate(minutes=Sum("minutes"))
        .order_by("group_name", "name", "member")
    )
    return Panel(template="grants/_my_hours.html", context={"people": people}) if people else None
