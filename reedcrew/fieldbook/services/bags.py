"""Bags that lay in the sun go on: to burning, landfill or compost, as local rules allow."""

import datetime

from django.db import transaction

from reedcrew.fieldbook.errors import NoBagsInSun, StillInSun
from reedcrew.fieldbook.models import Load
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.web.times import day_text


@transaction.atomic
def move_bags_on(*, load: Load, to: str, actor: Account, now: datetime.datetime) -> Load:
    """Note who took bags on and where to, also after their day was closed. Again: the first note stands.

    Raises NoBagsInSun for a pile or a load that was struck out, StillInSun before the sun time is over by the site's
    date.
    """
    held = (
        Load.objects.select_for_update(no_key=True, of=("self",))
        .select_related("day__stand__site__group")
        .get(pk=load.pk)
    )
    if held.moved_on_at is not None:
        return held
    if held.struck_at is not None or held.sun_until is None:
        raise NoBagsInSun
    if now.astimezone(held.day.zone_info).date() < held.sun_until:
        raise StillInSun(until=day_text(held.sun_until))
    held.moved_on_at, held.moved_on_by, held.moved_on_to = now, actor, to
    held.save(update_fields=["moved_on_at", "moved_on_by", "moved_on_to"])
    record(group=held.day.group, actor=actor, at=now, deed="bags moved on", subject=held)
    return held
