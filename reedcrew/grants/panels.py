"""What grants show on start pages."""

import datetime

from django.db.models import F, Q, Sum
from django.http import HttpRequest

from reedcrew.grants.models import HourEntry
from reedcrew.people.home import Panel
from reedcrew.workdays.my_day import MyDay


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


def hours_of_day(mine: MyDay) -> Panel | None:
    """The way from a closed day to the hours and the certificate of those who have some in its group."""
    if mine.ahead:
        return None
    members = {each.member_id: each.member for each in mine.own}
    lines = HourEntry.objects.standing().filter(member__in=list(members), minutes__gt=0).order_by()
    found = lines.values_list("member", flat=True).distinct()
    people = sorted((members[pk] for pk in found), key=lambda member: (member.name, member.pk))
    context = {"people": people, "group": mine.day.group}
    return Panel(template="grants/_hours_of_day.html", context=context) if people else None
