"""What the fieldbook puts on the calendar of the season: bags, on the date on which they have had their sun."""

import datetime
from collections.abc import Iterator

from django.urls import reverse
from django.utils.translation import ngettext

from reedcrew.fieldbook.models import Load
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.workdays.season_calendar import Kind, Mark


def bags_on_calendar(
    member: Member, first: datetime.date, last: datetime.date, now: datetime.datetime
) -> Iterator[Mark]:
    """Bags that lie in the sun, to those who run days. One query."""
    if not member.may(Deed.RUN_DAY):
        return
    loads = Load.objects.in_sun().filter(day__stand__site__group=member.group, sun_until__range=(first, last))
    for load in loads.order_by("sun_until", "pk"):
        if load.sun_until is not None:
            words = ngettext("%(count)d bag in the sun until here", "%(count)d bags in the sun until here", load.count)
            yield Mark(
                date=load.sun_until,
                kind=Kind.BAGS,
                words=words % {"count": load.count},
                url=reverse("fieldbook:bags", args=[member.group.slug]),
                detail=load.place,
            )
