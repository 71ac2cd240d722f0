"""What webhooks hear of days, and what ends a token."""

import datetime
from typing import Any

from reedcrew.api import services
from reedcrew.api.models import Event
from reedcrew.people.models import Account, Member
from reedcrew.workdays.models import WorkDay


def on_day_posted(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    services.tell(day=day, event=Event.DAY_POSTED, now=now)


def on_day_closed(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    services.tell(day=day, event=Event.DAY_CLOSED, now=now)


def on_member_changed(sender: object, *, member: Member, actor: Account, now: datetime.datetime, **said: Any) -> None:
    services.end_tokens_of(member=member, actor=actor, now=now)


def on_member_left(sender: object, *, member: Member, actor: Account, now: datetime.datetime, **said: Any) -> None:
    services.end_tokens_of(member=member, actor=actor, now=now)


def on_member_erased(sender: object, *, member: Member, **said: Any) -> None:
    services.forget_tokens_of(member=member)
