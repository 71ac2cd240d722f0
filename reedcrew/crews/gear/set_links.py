"""What the page of a set offers: to hand it out on a day that is near."""

import datetime

from django.urls import reverse
from django.utils.translation import gettext

from reedcrew.people.access import GroupRequest
from reedcrew.people.roles import Deed
from reedcrew.stock.models import GearSet
from reedcrew.stock.set_actions import SetAction
from reedcrew.workdays.models import WorkDay

BEFORE = datetime.timedelta(days=1)  # gear is handed out from so long before a day on (convention)


def hand_out_links(request: GroupRequest, gear_set: GearSet, now: datetime.datetime) -> list[SetAction]:
    """One link for each posted day that is under way or begins within a day, for those who handle gear."""
    if not request.member.may(Deed.HANDLE_GEAR):
        return []
    near = WorkDay.objects.of_group(request.group).upcoming(now).filter(starts_at__lte=now + BEFORE)
    return [
        SetAction(
            label=gettext("Hand out: %(title)s") % {"title": day.title},
            url=reverse("crews:gear_set", args=[request.group.slug, day.pk, gear_set.code]),
        )
        for day in near
    ]
