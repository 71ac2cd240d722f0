"""Which stands ask for a decision: those with checks that wait for an organizer's word."""

import datetime
from collections.abc import Iterator, Sequence

from django.db.models import F, Max, Q
from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.models import Member
from reedcrew.people.needs import Need, groups_of
from reedcrew.people.roles import Deed
from reedcrew.stands.models import Stand
from reedcrew.trade.attention import Matter


def identifications(members: Sequence[Member], now: datetime.datetime) -> Iterator[Need]:
    """Stands that may not be cut, with checks since the last decision or before any. One query."""
    groups = groups_of(members, Deed.KEEP_STANDS)
    if not groups:
        return
    closed = Stand.objects.exclude(pk__in=Stand.objects.open_to_work()).filter(site__group__in=groups)
    counted = closed.annotate(known=Max("decisions__latest_known"), latest=Max("checks__pk"))
    waiting = counted.filter(Q(known=None, latest__isnull=False) | Q(latest__gt=F("known")))
    for stand in waiting.select_related("site__group").order_by("site__name", "name", "pk"):
        yield Need(
            matter=Matter.IDENTIFICATION,
            group=stand.site.group,
            about=stand.name,
            words=_("It was checked, and waits for your decision which reed it is. Until then nobody may cut it."),
            step=_("Decide which reed it is"),
            url=reverse("stands:decide_identification", args=[stand.site.group.slug, stand.pk]),
            zone=stand.site.zone_info,
        )
