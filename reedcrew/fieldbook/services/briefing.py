"""Who heard the briefing."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.briefing_list import TITLES
from reedcrew.fieldbook.models import BriefingHeard
from reedcrew.fieldbook.queries import who_heard
from reedcrew.fieldbook.services.entries import open_day, stays_of
from reedcrew.fieldbook.services.sending import keep_sent
from reedcrew.fieldbook.sync.water_sweep import row_of
from reedcrew.people.models import Account, Member
from reedcrew.trade.briefing import Item
from reedcrew.workdays.models import WorkDay


@transaction.atomic
def hear_briefing(
    *, day: WorkDay, members: Sequence[Member], items: Sequence[str], actor: Account, now: datetime.datetime
) -> list[BriefingHeard]:
    """Record that people who are on site heard every item of the briefing. Whoever heard it already stays as they are.

    Raises FieldbookClosed, NobodyNamed, BriefingIncomplete or NotSignedIn.
    """
    day = open_day(day)
    if not members:
        raise errors.NobodyNamed
    if missing := [str(TITLES[item]) for item in Item if item.value not in items]:
        raise errors.BriefingIncomplete(titles=", ".join(missing))
    here = set(stays_of(day).filter(signed_out_at=None).values_list("member", flat=True))
    if away := [member.name for member in members if member.pk not in here]:
        raise errors.NotSignedIn(names=", ".join(away))
    heard = who_heard(day)
    hearing = [member for member in members if member.pk not in heard]
    whole, entry_id = [item.value for item in Item], uuid.uuid4()
    if hearing:
        said = {"items": whole, "members": sorted(member.pk for member in hearing)}
        keep_sent(day=day, kind="briefing_heard", data=said, at=now, actor=actor, now=now, entry_id=entry_id)
    return [
        BriefingHeard.objects.create(
            id=row_of(entry_id, member.pk), day=day, member=member, items=whole, entered_by=actor, entered_at=now
        )
        for member in hearing
    ]
