"""What the fieldbook refuses to the apps above it while somebody is on site, and how it forgets people."""

from typing import Any

from reedcrew.fieldbook import forgetting, services
from reedcrew.people.models import Account, Member
from reedcrew.workdays.models import SignUp, WorkDay


def on_withdrawn(sender: object, *, sign_up: SignUp, **said: Any) -> None:
    services.ask_left(sign_up=sign_up)


def on_marked_absent(sender: object, *, sign_up: SignUp, **said: Any) -> None:
    services.ask_never_came(sign_up=sign_up)


def on_day_cancelled(sender: object, *, day: WorkDay, **said: Any) -> None:
    services.ask_everyone_left(day=day)


def on_member_erased(sender: object, *, member: Member, account: Account | None, name: str, **said: Any) -> None:
    forgetting.forget_member(member=member, account=account, name=name)
