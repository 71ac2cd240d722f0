"""What volunteers read of the plan: their own unit, role and gear, of an accepted plan only."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from reedcrew.crews.models import Assignment
from reedcrew.crews.queries.bring import BringList, bring_list
from reedcrew.crews.queries.plan_sheet import missing_of
from reedcrew.crews.records import Record
from reedcrew.people.models import Account, Member
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.queries import next_days_of, own_sign_ups


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPlace:
    """What somebody was told of their own place; partners are told by their given names.

    Before a plan is accepted nothing is ``decided``. Where the place no longer ``stands`` it leads nobody into water.
    """

    name: str
    day: WorkDay
    decided: bool
    stands: bool
    zone: str
    role: str
    partners: Sequence[str]
    gear: Sequence[Record]
    missing: Sequence[Record]
    bring: BringList | None = None  # only for the reader's own pages


def own_places(account: Account, now: datetime.datetime) -> list[OwnPlace]:
    """The places of an account and the children in its care on days to come, the next first.

    Three queries at any number of places. Whoever is marked as absent is told nothing.
    """
    sign_ups = list(
        next_days_of(account, now)
        .filter(state=SignUp.State.CONFIRMED)
        .exclude(outcome=SignUp.Outcome.ABSENT)
        .select_related("member__profile")
        .order_by("day__starts_at", "number")
    )
    return _own(sign_ups)


def own_places_on(day: WorkDay, account: Account) -> list[OwnPlace]:
    """The same on one day. Three queries."""
    sign_ups = own_sign_ups(day, account).filter(state=SignUp.State.CONFIRMED)
    return _own(list(sign_ups.exclude(outcome=SignUp.Outcome.ABSENT).order_by("number")))


def told_places(sign_ups: Sequence[SignUp]) -> dict[int, OwnPlace]:
    """What people were told of their places, by the key of the sign-up; only of accepted plans.

    The sign-ups come with member and day. Two queries at any number of them.
    """
    told = _told(sign_ups)
    units = _units_of(told.values())
    return {each.pk: _place(each, told[each.pk], units) for each in sign_ups if each.pk in told}


# --- Private ---------------------------------------------------------------------------------------------------------

Units = dict[tuple[int, int], list[Member]]


def _own(sign_ups: Sequence[SignUp]) -> list[OwnPlace]:
    told = _told(sign_ups)
    units = _units_of(told.values())
    return [
        replace(_place(each, told.get(each.pk), units), bring=bring_list(each, told.get(each.pk))) for each in sign_ups
    ]


def _told(sign_ups: Sequence[SignUp]) -> dict[int, Assignment]:
    return {
        each.sign_up_id: each
        for each in Assignment.objects.filter(plan__told=True, sign_up__in=[each.pk for each in sign_ups])
        .select_related("plan", "zone", "sign_up")
        .order_by("pk")
    }


def _units_of(told: Iterable[Assignment]) -> Units:
    plans = {each.plan_id for each in told if each.kind == Assignment.Kind.UNIT}
    units: Units = {}
    for each in Assignment.objects.in_water().filter(plan__in=plans).select_related("sign_up__member"):
        units.setdefault((each.plan_id, each.unit_number or 0), []).append(each.sign_up.member)
    return units


def _place(sign_up: SignUp, told: Assignment | None, units: Units) -> OwnPlace:
    if told is None:
        return OwnPlace(
            name=sign_up.member.name,
            day=sign_up.day,
            decided=False,
            stands=True,
            zone="",
            role="",
            partners=(),
            gear=(),
            missing=(),
        )
    return OwnPlace(
        name=sign_up.member.name,
        day=sign_up.day,
        decided=True,
        stands=not told.fallen,
        zone=told.zone.name if told.zone else "",
        role=told.get_role_display(),
        partners=[
            member.given_name
            for member in units.get((told.plan_id, told.unit_number or 0), ())
            if member.pk != sign_up.member_id
        ],
        gear=told.gear,
        missing=missing_of(told, told.plan.answer),
    )
