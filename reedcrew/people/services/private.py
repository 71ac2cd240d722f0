"""Emergency contacts and health notes: kept encrypted, opened to few, each look recorded."""

import datetime

from django.db import transaction
from django.db.models import Q, QuerySet

from reedcrew.people import queries
from reedcrew.people.errors import PrivateClosed, ReasonForLookNeeded
from reedcrew.people.models import Account, Member, PrivateLook, PrivateRecord
from reedcrew.people.queries import LedDay
from reedcrew.people.services.deeds import noted
from reedcrew.web.lengths import length_of

_WHY_LENGTH = length_of(PrivateLook, "why")

# What somebody may read whose look was recorded; other apps name no private record but by this.
LookedAt = list[PrivateRecord]


@transaction.atomic
def save_private(
    *,
    member: Member,
    emergency_name: str,
    emergency_phone: str,
    health_note: str,
    actor: Account,
    now: datetime.datetime,
) -> PrivateRecord:
    """Keep what a person, their guardian, or for a person without account an organizer, told for an emergency.

    The record of deeds says that it was changed, never what it says.
    """
    private, _made = PrivateRecord.objects.update_or_create(
        member=member,
        defaults={"emergency_name": emergency_name, "emergency_phone": emergency_phone, "health_note": health_note},
    )
    noted(member=member, actor=actor, now=now, deed="private record changed")
    return private


@transaction.atomic
def empty_private(*, members: QuerySet[Member], now: datetime.datetime) -> int:
    """Empty the private records of these members, because their time is over; the number of records that held anything.

    The record of deeds says so for each of them, by nobody.
    """
    told = ~Q(emergency_name="", emergency_phone="", health_note="")
    records = PrivateRecord.objects.filter(member__in=members).filter(told).select_related("member__group")
    emptied = list(records)
    for record in emptied:
        noted(member=record.member, actor=None, now=now, deed="private record ran out")
    PrivateRecord.objects.filter(pk__in=[record.pk for record in emptied]).update(
        emergency_name="", emergency_phone="", health_note="", updated_at=now
    )
    return len(emptied)


def look_at_private(
    *, member: Member, by: Member, now: datetime.datetime, why: str, led_day: LedDay | None = None
) -> PrivateRecord:
    """Open one person's emergency contact and health note for a member of the same group, and record the look.

    Organizers always may; anyone else only with ``led_day``, a day that they lead, from the day before to the day after
    (the site's dates), for the people of that day. People read their own, and guardians their children's, without a
    record. Raises PrivateClosed, ReasonForLookNeeded.
    """
    return _look(members=[member], by=by, now=now, why=why, led_day=led_day)[0]


def look_at_private_of_day(*, by: Member, led_day: LedDay, now: datetime.datetime, why: str) -> LookedAt:
    """Open the emergency contacts and health notes of everyone of a day, in the order of names; a look is recorded for
    each. Organizers may at any time, the day's lead from the day before to the day after.

    Raises PrivateClosed, ReasonForLookNeeded.
    """
    members = Member.objects.filter(group=by.group_id, pk__in=led_day.people).order_by("name", "pk")
    return _look(members=list(members), by=by, now=now, why=why, led_day=led_day)


@transaction.atomic
def _look(
    *, members: list[Member], by: Member, now: datetime.datetime, why: str, led_day: LedDay | None
) -> list[PrivateRecord]:
    if not why.strip():
        raise ReasonForLookNeeded
    records = queries.private_records_for(members=members, by=by, led_day=led_day)
    if len(records) != len(members) or by.account is None:
        raise PrivateClosed
    PrivateLook.objects.bulk_create(
        PrivateLook(member=member, by=by.account, at=now, why=why.strip()[:_WHY_LENGTH])
        for member in members
        if not queries.is_in_care(member, by)
    )
    return records
