"""The ledger's part in closing a day, and in forgetting a person."""

import datetime
from typing import Any

from reedcrew.grants import forgetting
from reedcrew.grants.services import enter_hours
from reedcrew.people.models import Account, Member
from reedcrew.workdays.models import WorkDay


def on_day_closed(sender: object, *, day: WorkDay, actor: Account, now: datetime.datetime, **said: Any) -> None:
    enter_hours(day=day, actor=actor, now=now)


def on_member_erased(sender: object, *, member: Member, name: str, **said: Any) -> None:
    forgetting.forget_member(member=member, name=name)
