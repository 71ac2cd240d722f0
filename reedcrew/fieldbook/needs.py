"""What days that are over leave to decide: to close them, and to take bags on."""

import datetime
from collections.abc import Iterator, Sequence

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.fieldbook.models import Load
from reedcrew.people.models import Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.roles import Deed
from reedcrew.trade.attention import Matter
from reedcrew.workdays.models import WorkDay


def after_the_day(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """For those who run days. Two queries."""
    groups = groups_of(members, Deed.RUN_DAY)
    if not groups:
        return
    over = WorkDay.objects.posted().filter(stand__site__group__in=groups, ends_at__lte=now).with_stand()
    for day in over.order_by("starts_at", "pk"):
        yield Need(
            matter=Matter.DAY_NOT_CLOSED,
            group=day.group,
            about=day.title,
            words=_("The day is over and not closed: its hours and stems are not in the ledger."),
            step=_("Close the day"),
            url=reverse("fieldbook:close", args=[day.group.slug, day.pk]),
            by=day.date,
            zone=day.zone_info,
        )
    loads = Load.objects.in_sun().filter(day__stand__site__group__in=groups).select_related("day__stand__site__group")
    for load in loads.order_by("sun_until", "pk"):
        zone = load.day.zone_info
        if load.sun_until is None or now.astimezone(zone).date() < load.sun_until:
            continue
        words = ngettext(
            "%(count)d bag has had its time in the sun and can go on.",
            "%(count)d bags have had their time in the sun and can go on.",
            load.count,
        )
        yield Need(
            matter=Matter.BAGS,
            group=load.day.group,
            about=load.place,
            words=words % {"count": load.count},
            step=_("Take them on"),
            url=reverse("fieldbook:bags", args=[load.day.group.slug]),
            zone=zone,
        )
