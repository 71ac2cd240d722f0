"""What calendars hear of: places, withdrawals, changed and cancelled days."""

import datetime
from typing import Any

from django.utils import timezone

from reedcrew.crews.models import Plan
from reedcrew.invites import forgetting, mailings, posting, services
from reedcrew.people.models import Account, Member
from reedcrew.workdays.models import SignUp, WorkDay


def on_place(
    sender: object, *, sign_up: SignUp, actor: Account, now: datetime.datetime, promoted: bool = False, **said: Any
) -> None:
    if promoted:
        services.tell_placed(sign_up=sign_up, actor=actor, now=now)
    else:
        services.invite(sign_up=sign_up, actor=actor, now=now)


def on_offer(sender: object, *, sign_up: SignUp, now: datetime.datetime, **said: Any) -> None:
    """A place is offered, or the offer has lapsed: the calendar shows how the person stands."""
    services.tell_standing(sign_up=sign_up, now=now)


def on_withdrawn(sender: object, *, sign_up: SignUp, now: datetime.datetime, **said: Any) -> None:
    services.tell_withdrawn(sign_up=sign_up, now=now)


def on_day_changed(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    services.tell_day_changed(day=day, now=now)


def on_day_cancelled(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    services.tell_day_cancelled(day=day, now=now)


def on_day_closed(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    mailings.plan_thanks(day=day, now=now)


def on_incident(sender: object, *, day: WorkDay, now: datetime.datetime, **said: Any) -> None:
    posting.tell_incident(day=day, now=now)


def on_plan_accepted(sender: object, *, plan: Plan, now: datetime.datetime, **said: Any) -> None:
    """What a calendar tells of role and gear follows the plan that people were told."""
    services.tell_day_changed(day=plan.day, now=now)


def on_address_changed(sender: object, *, user: Account, **said: Any) -> None:
    """allauth tells of it without the moment: this is the edge where the clock is read."""
    services.follow_address(account=user, now=timezone.now())


def on_member_erased(
    sender: object, *, member: Member, addresses: frozenset[str], now: datetime.datetime, **said: Any
) -> None:
    forgetting.forget_member(member=member, addresses=addresses, now=now)


def on_account_erased(sender: object, *, account: Account, addresses: frozenset[str], **said: Any) -> None:
    forgetting.forget_account(account=account, addresses=addresses)
