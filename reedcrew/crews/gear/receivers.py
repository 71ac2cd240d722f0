"""What bookings follow: the plan that people are told, and the day itself."""

import datetime
from typing import Any

from reedcrew.crews.gear.outings import outing_of
from reedcrew.crews.gear.services import book_for
from reedcrew.crews.models import Plan
from reedcrew.people.models import Account
from reedcrew.stock import services as stock
from reedcrew.workdays.models import WorkDay


def on_plan_accepted(sender: object, *, plan: Plan, actor: Account, now: datetime.datetime, **said: Any) -> None:
    book_for(day=WorkDay.objects.with_stand().get(pk=plan.day_id), actor=actor, now=now)


def on_day_changed(sender: object, *, day: WorkDay, **said: Any) -> None:
    stock.tell_times(group=day.group, outing=outing_of(day))


def on_day_cancelled(sender: object, *, day: WorkDay, actor: Account, now: datetime.datetime, **said: Any) -> None:
    stock.release(group=day.group, key=day.pk, actor=actor, now=now)
