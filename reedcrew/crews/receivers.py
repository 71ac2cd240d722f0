"""What makes a plan due: the roster, the zones, the people's profiles, the group's rules."""

import datetime
from typing import Any

from reedcrew.crews.services import order_plan, withdraw_plans
from reedcrew.people.models import Group, Member
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import SignUp, WorkDay


def on_roster_changed(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    order_plan(day=day, now=now)


def on_zone_changed(sender: object, *, stand: Stand, now: datetime.datetime, **said: Any) -> None:
    for day in WorkDay.objects.upcoming(now).filter(stand=stand):
        order_plan(day=day, now=now)


def on_identification_changed(sender: object, *, stand: Stand, now: datetime.datetime, **said: Any) -> None:
    """A stand that nobody may cut any more has no plan; one that is open again needs a new one."""
    if not stand.may_be_cut:
        withdraw_plans(stand=stand, now=now)
        return
    for day in WorkDay.objects.upcoming(now).filter(stand=stand):
        order_plan(day=day, now=now)


def on_member_changed(sender: object, *, member: Member, now: datetime.datetime, **said: Any) -> None:
    for day in WorkDay.objects.upcoming(now).filter(sign_ups__in=SignUp.objects.confirmed().filter(member=member)):
        order_plan(day=day, now=now)


def on_group_changed(sender: object, *, group: Group, now: datetime.datetime, **said: Any) -> None:
    for day in WorkDay.objects.of_group(group).upcoming(now):
        order_plan(day=day, now=now)
