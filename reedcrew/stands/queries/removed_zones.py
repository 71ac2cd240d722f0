"""Zones that were removed a short while ago and can be put back."""

import datetime
from collections.abc import Iterable

from django.db.models import QuerySet

from reedcrew.people.models import AuditEntry
from reedcrew.people.queries import member_name
from reedcrew.stands.models import Stand, Zone

ZONE_REMOVED = "zone removed"  # the deed, in the record of deeds
OFFERED_DAYS = 30  # for so long a stand's page offers to take a removal back (convention)


def removals_of(stand: Stand) -> QuerySet[AuditEntry]:
    """The removals of a stand's zones that say what the zone was, the latest first."""
    return AuditEntry.objects.filter(
        group=stand.site.group_id,
        deed=ZONE_REMOVED,
        subject__startswith=f"{Zone._meta.label}:",
        detail__stand=stand.pk,
        detail__has_key="was",
    )


def removed_zones(stand: Stand, there: Iterable[Zone], now: datetime.datetime) -> list[tuple[int, AuditEntry]]:
    """The zones of a stand, now ``there``, that were removed lately and are not back: key and removal, with ``by``.

    One query.
    """
    since = now - datetime.timedelta(days=OFFERED_DAYS)
    kept = {zone.pk for zone in there}
    lately = removals_of(stand).filter(at__gte=since).annotate(by=member_name(group="group", account="actor"))
    found = {int(removal.subject.rpartition(":")[2]): removal for removal in reversed(lately)}
    return [(key, removal) for key, removal in found.items() if key not in kept]
