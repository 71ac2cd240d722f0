"""Making plans of days: at once for an organizer, or when a changed roster ordered one."""

import datetime
import itertools
from collections.abc import Iterator, Sequence
from typing import Any

from django.db import transaction

from reedcrew.crews.errors import DayNotPlannable, StandNotConfirmed
from reedcrew.crews.inputs import day_input, free_stock
from reedcrew.crews.models import Assignment, Plan, PlanDue
from reedcrew.crews.records import allotment_records, plan_record, reason_records, remedy_records
from reedcrew.crews.solving import plan_as_pinned
from reedcrew.crews.standing import note_fallen
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.stands.models import Stand
from reedcrew.trade import plan as trade
from reedcrew.trade.reasons import reason
from reedcrew.web.wake import wake
from reedcrew.workdays.models import WorkDay

PLANNED_AT_ONCE = 60  # people; more are planned in the background (convention: the size that the benchmark plans)


def order_plan(*, day: WorkDay, now: datetime.datetime) -> None:
    """Note that the day's plan is due and wake the planner after the commit. A later order replaces an earlier one."""
    PlanDue.objects.bulk_create(
        [PlanDue(day=day, since=now)], update_conflicts=True, unique_fields=["day"], update_fields=["since"]
    )
    wake("crews.plan_due", day.pk)


def plan_or_order(*, day: WorkDay, actor: Account, now: datetime.datetime) -> Plan | None:
    """Plan a day at once, or order the plan of a large one, which takes longer than anybody waits for a page: None.

    Raises StandNotConfirmed.
    """
    if day.sign_ups.expected().count() <= PLANNED_AT_ONCE:
        return make_plan(day=day, actor=actor, now=now)
    _ask_confirmed(day)
    order_plan(day=day, now=now)
    return None


def make_plan(*, day: WorkDay, actor: Account | None, now: datetime.datetime) -> Plan:
    """Plan the day from its rows as they are now, and make that the current plan.

    What people were told stays what they were told: the new plan is a proposal that changes as little of it as it can,
    and units that no longer stand are marked at once. A pin that a hard rule overrules is left aside.

    The day is solved outside of any transaction, since a large day takes seconds. An order that came meanwhile stands,
    so that the next run sees what this one did not. A plan that was begun later stays current and is returned; so is
    that of another worker who has carried out the same order. Where a day that overlaps was given gear meanwhile, or
    the stock changed, the plan is due again at once. Raises StandNotConfirmed, also where the stand was closed while
    the day was solved.
    """
    _ask_confirmed(day)
    orders = list(PlanDue.objects.filter(day=day).values_list("pk", "since"))
    question = day_input(day, now)
    answer, aside = plan_as_pinned(question)
    with transaction.atomic():
        lock_group(day.group)  # days that overlap draw on one stock
        locked = WorkDay.objects.held(day.pk)
        _ask_confirmed(locked)
        if later := locked.plans.filter(current=True, made_at__gt=now).first():
            return later
        still_due = PlanDue.objects.filter(day=locked).exists()
        if actor is None and orders and not still_due and (same := locked.plans.filter(current=True).first()):
            return same
        locked.plans.filter(current=True).update(current=False)
        plan = Plan.objects.create(
            day=locked,
            made_at=now,
            made_by=actor,
            status=answer.status.value,
            answer=plan_record(answer, question, aside),
        )
        told = locked.plans.filter(told=True).first()
        Assignment.objects.bulk_create(_assignments(plan, answer, told))
        if told is not None:
            note_fallen(told, question)
        for pk, since in orders:
            PlanDue.objects.filter(pk=pk, since=since).delete()
        if free_stock(locked) != question.stock:
            order_plan(day=locked, now=now)
    return plan


def ask_plannable(*, day: WorkDay, now: datetime.datetime) -> None:
    """Refuse to plan a day that is over, closed or cancelled, or on a stand that nobody may cut.

    Raises DayNotPlannable or StandNotConfirmed.
    """
    if not day.is_open or day.has_ended(now):
        raise DayNotPlannable(status=day.get_status_display())
    _ask_confirmed(day)


def make_due_plan(*, day_pk: int, now: datetime.datetime) -> Plan | None:
    """Plan a day if an order for it stands. One that is closed, cancelled, over or protected takes its order away."""
    due = PlanDue.objects.filter(day=day_pk).first()
    if due is None:
        return None
    day = WorkDay.objects.with_stand().get(pk=day_pk)
    if not day.is_open or day.has_ended(now):
        due.delete()
        return None
    try:
        return make_plan(day=day, actor=None, now=now)
    except StandNotConfirmed:
        due.delete()  # confirmed again, the stand orders a plan anew
        return None


def due_days() -> Sequence[int]:
    """Keys of the days for which an order stands, the oldest order first: what a lost wake-up left behind."""
    return list(PlanDue.objects.order_by("since", "pk").values_list("day", flat=True))


def withdraw_plans(*, stand: Stand, now: datetime.datetime) -> None:
    """Take back the plans of a stand that nobody may cut any more: proposals go, and what people were told falls."""
    for pk in WorkDay.objects.upcoming(now).filter(stand=stand).values_list("pk", flat=True):
        day = WorkDay.objects.held(pk)
        PlanDue.objects.filter(day=day).delete()
        day.plans.filter(current=True).update(current=False)
        protected = reason_records([reason("told.stand_protected")])
        Assignment.objects.filter(plan__day=day, plan__told=True).update(fallen=protected)


# --- Private ---------------------------------------------------------------------------------------------------------


def _ask_confirmed(day: WorkDay) -> None:
    stand = Stand.objects.get(pk=day.stand_id)  # as it is now, whatever the day was fetched with
    if not stand.may_be_cut:
        raise StandNotConfirmed(stand=stand.name, state=stand.get_identification_display())


def _numbers(answer: trade.Plan, told: Plan | None) -> dict[int, int]:
    """The number of each unit, by its place in the answer: one whose people were told a number keeps it."""
    known: dict[int, set[str]] = {}
    if told is not None:
        for number, member in told.assignments.in_water().values_list("unit_number", "sign_up__member"):
            known.setdefault(number or 0, set()).add(str(member))
    numbers: dict[int, int] = {}
    for place, unit in enumerate(answer.units):
        shared = {number: len(members & set(unit.members)) for number, members in known.items()}
        best = max(shared, key=lambda number: (shared[number], -number), default=0)
        if shared.get(best, 0) >= trade.PAIR:
            numbers[place] = best
            known.pop(best)
    taken = set(numbers.values()) | (set(known) if told is not None else set())
    free = (number for number in itertools.count(1) if number not in taken)
    return {place: numbers[place] if place in numbers else next(free) for place in range(len(answer.units))}


def _assignments(plan: Plan, answer: trade.Plan, told: Plan | None) -> Iterator[Assignment]:
    # Withdrawn ones too: somebody may have left while the day was solved, and their order for a new plan stands.
    sign_ups = dict(plan.day.sign_ups.order_by("number").values_list("member", "pk"))
    numbers = _numbers(answer, told)

    def assignment(volunteer: str, **facts: Any) -> Assignment:
        return Assignment(plan=plan, sign_up_id=sign_ups[int(volunteer)], **facts)

    for place, unit in enumerate(answer.units):
        gear = dict(unit.gear)
        for volunteer in unit.members:
            yield assignment(
                volunteer,
                kind=Assignment.Kind.UNIT,
                unit_number=numbers[place],
                zone_id=int(unit.zone),
                gear=allotment_records(gear[volunteer]),
                reasons=reason_records(unit.reasons),
            )
    for role in answer.shore:
        yield assignment(
            role.volunteer,
            kind=Assignment.Kind.SHORE,
            role=role.role.value,
            zone_id=int(role.zone) if role.zone else None,
            gear=allotment_records(role.gear),
            reasons=reason_records(role.reasons),
            remedies=remedy_records(role.remedies),
        )
    for left in answer.not_placed:
        yield assignment(
            left.volunteer,
            kind=Assignment.Kind.NOT_PLACED,
            reasons=reason_records(left.reasons),
            remedies=remedy_records(left.remedies),
        )
