"""Coming after all: who gave a place back takes it again while it is free, or goes on the waiting list."""

import datetime
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from reedcrew.people.models import Account, Member
from reedcrew.workdays import services
from reedcrew.workdays.models import SignUp, SignUpQuerySet, WorkDay
from reedcrew.workdays.queries import Places


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenBack:
    """Places that were given back together: of one person first, then of the children who came only with them.

    ``is_free``: all of them can still be had.
    """

    sign_ups: Sequence[SignUp]
    is_free: bool

    @property
    def names(self) -> Sequence[str]:
        return [each.member.name for each in self.sign_ups]


def withdrawn_in_care(day: WorkDay, account: Account) -> SignUpQuerySet:
    """The withdrawn sign-ups on a day of an account's own member and of the children in its care."""
    care = Member.objects.current().in_care_of_account(account)
    return day.sign_ups.for_roster().filter(state=SignUp.State.WITHDRAWN, member__in=care)


def given_back(day: WorkDay, account: Account, own: Sequence[SignUp], places: Sequence[Places]) -> list[GivenBack]:
    """What an account may take back on an open day, beside its ``own`` sign-ups that stand. One query."""
    standing = {each.member_id for each in own}
    last = {each.member_id: each for each in withdrawn_in_care(day, account).order_by("number", "pk")}
    last = {member: each for member, each in last.items() if member not in standing}
    free = Counter({kind.place: kind.free for kind in places})
    found = []
    for each in last.values():
        guardian = last.get(each.member.guardian_id or 0)
        if guardian is not None and guardian.changed_at == each.changed_at:
            continue
        family = [each, *_withdrawn_with(each, list(last.values()))]
        asked = Counter(str(one.place) for one in family)
        found.append(GivenBack(sign_ups=family, is_free=asked <= free))
    return found


@transaction.atomic
def come_after_all(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> tuple[SignUp, ...]:
    """Sign up again somebody who was withdrawn, and the children who were withdrawn with them. A second press is fine.

    Where no place is free they go on the waiting list. Raises what ``services.sign_up`` raises.
    """
    day = WorkDay.objects.held(sign_up.day_id)
    gone = list(day.sign_ups.filter(state=SignUp.State.WITHDRAWN).select_related("member__guardian"))
    return tuple(
        services.sign_up(day=day, member=each.member, place=each.place, actor=actor, now=now).sign_up
        for each in [sign_up, *_withdrawn_with(sign_up, gone)]
    )


def _withdrawn_with(sign_up: SignUp, gone: Sequence[SignUp]) -> list[SignUp]:
    return [
        each for each in gone if each.member.guardian_id == sign_up.member_id and each.changed_at == sign_up.changed_at
    ]
