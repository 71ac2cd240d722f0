"""Accepting a proposal: from then on it is what people are told. Accepting a later one amends it."""

import datetime
from dataclasses import dataclass

from django.db import transaction

from reedcrew.crews import signals
from reedcrew.crews.differences import Differences, differences
from reedcrew.crews.errors import PlanDoesNotStand, PlanIsDue, PlanSuperseded
from reedcrew.crews.inputs import day_input
from reedcrew.crews.models import Plan, PlanDue
from reedcrew.crews.rebuilt import trade_plan
from reedcrew.crews.records import names_of, said
from reedcrew.crews.services.planning import ask_plannable
from reedcrew.crews.standing import fallen_of
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """The plan that people are told from now on, and what it changes of what they were told; None for the first."""

    plan: Plan
    changes: Differences | None


@transaction.atomic
def accept_plan(*, plan: Plan, actor: Account, now: datetime.datetime) -> Accepted:
    """Make the current proposal what people are told. Accepted again: no change.

    Judged once more as the day is now, under the group's lock, since gear may be promised elsewhere meanwhile. Raises
    DayNotPlannable, PlanSuperseded, PlanIsDue or PlanDoesNotStand.
    """
    lock_group(plan.day.group)
    day = WorkDay.objects.held(plan.day_id)
    ask_plannable(day=day, now=now)
    plan = day.plans.get(pk=plan.pk)
    if plan.told and plan.current:
        return Accepted(plan=plan, changes=None)
    if not plan.current:
        raise PlanSuperseded
    if PlanDue.objects.filter(day=day).exists():
        raise PlanIsDue
    _ask_stands(plan, day, now)
    before = day.plans.filter(told=True).first()
    changes = None
    if before is not None:
        changes = differences(trade_plan(before), trade_plan(plan))
        before.told = False
        before.save(update_fields=["told"])
    plan.told, plan.accepted_by, plan.accepted_at = True, actor, now
    plan.save(update_fields=["told", "accepted_by", "accepted_at"])
    members = (
        [int(person) for person in changes.people]
        if changes is not None
        else list(plan.assignments.values_list("sign_up__member", flat=True))
    )
    deed = "plan accepted" if before is None else "plan amended"
    record(group=day.group, actor=actor, at=now, deed=deed, subject=plan, day=day.pk, people=len(members))
    signals.plan_accepted.send(Plan, plan=plan, before=before, members=members, actor=actor, now=now)
    return Accepted(plan=plan, changes=changes)


# --- Private ---------------------------------------------------------------------------------------------------------


def _ask_stands(plan: Plan, day: WorkDay, now: datetime.datetime) -> None:
    fallen = fallen_of(plan, day_input(day, now))
    if fallen:
        why = next(iter(fallen.values()))[0]
        raise PlanDoesNotStand(why=said(why, names_of(plan)))
