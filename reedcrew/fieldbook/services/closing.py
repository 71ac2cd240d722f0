"""The end of a day: everyone out, then hours and stems go to the ledger."""

import datetime
from collections.abc import Sequence

from django.db import transaction

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.services.entries import open_day, stays_of
from reedcrew.fieldbook.services.water import ask_out_of_water
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp, WorkDay


@transaction.atomic
def close(*, day: WorkDay, actor: Account, now: datetime.datetime, checked: Sequence[str] = ()) -> WorkDay:
    """Close the day: its hours and stems go to the ledger. ``checked`` is what the page asked for, kept on record.

    Raises FieldbookClosed, NotStarted, StillInWater or PeopleOnSite.
    """
    day = open_day(day)
    if now < day.starts_at:
        raise errors.NotStarted
    ask_everyone_left(day=day)
    outcomes: dict[int, SignUp.Outcome] = {}
    for stay in stays_of(day):
        was_in_water = stay.in_water or outcomes.get(stay.member_id) == SignUp.Outcome.WATER
        outcomes[stay.member_id] = SignUp.Outcome.WATER if was_in_water else SignUp.Outcome.LAND
    record(group=day.group, actor=actor, at=now, deed="closing checked", subject=day, checked=list(checked))
    return workdays.close_day(day=day, outcomes=outcomes, actor=actor, now=now)


def ask_everyone_left(*, day: WorkDay) -> None:
    """Refuse to end a day on which somebody is counted in water or signed in. Raises StillInWater or PeopleOnSite."""
    ask_out_of_water(day=day)
    if names := [stay.member.name for stay in stays_of(day).filter(signed_out_at=None)]:
        raise errors.PeopleOnSite(names=", ".join(names))
