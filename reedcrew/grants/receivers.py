"""The ledger's part in closing a day."""

import datetime
from typing import Any

from reedcrew.grants.services import enter_hours
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


def on_day_closed(sender: object, *, day: WorkDay, actor: Account, now: datetime.datetime, **said: Any) -> None:
    enter_hours(day=day, actor=actor, now=now)
