"""What if: the day with something otherwise, planned, and compared with the plan that counts. Nothing is stored."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext

from reedcrew.crews.inputs import day_input, trade_pin
from reedcrew.crews.models import Plan, PlanPin
from reedcrew.crews.rebuilt import trade_plan
from reedcrew.crews.records import Names, in_words
from reedcrew.crews.solving import plan_as_pinned
from reedcrew.trade.changes import Change, PeopleChange
from reedcrew.trade.day import Day
from reedcrew.trade.plan import Plan as Planned
from reedcrew.trade.reasons import Reason
from reedcrew.trade.what_if import NEWCOMER, altered, compare
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Supposed:
    """What a what-if would change, in words: people in water before and then, everything that differs, and warnings.

    ``refused`` are pins that could not be kept then, with code and sentence.
    """

    people_before: int = 0
    people_then: int = 0
    differences: Sequence[Reason] = ()
    closed: Sequence[str] = ()
    refused: Sequence[Reason] = ()


def suppose(
    day: WorkDay, now: datetime.datetime, *, changes: Sequence[Change] = (), pin: PlanPin | None = None
) -> Supposed:
    """The day with these changes and one more pin, planned beside the plan that counts (made now if there is none)."""
    question = day_input(day, now)
    names = _names(day, changes)
    before = _plan_that_counts(day, question)
    asked = altered(question, *changes)
    if pin is not None:
        asked = replace(asked, pins=(*asked.pins, trade_pin(pin)))
    then, aside = plan_as_pinned(asked, remedies=False)
    return Supposed(
        people_before=_in_water(before),
        people_then=_in_water(then),
        differences=[in_words(reason, names) for reason in compare(before, then).reasons],
        closed=[names.zones.get(closed.zone, closed.zone) for closed in then.closed_zones],
        refused=[in_words(refusal.reason, names) for refusal in aside],
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _plan_that_counts(day: WorkDay, question: Day) -> Planned:
    plan = Plan.objects.in_force().filter(day=day).first()
    return plan_as_pinned(question, remedies=False)[0] if plan is None else trade_plan(plan)


def _in_water(plan: Planned) -> int:
    return sum(len(unit.members) for unit in plan.units)


def _names(day: WorkDay, changes: Sequence[Change]) -> Names:
    people = {str(pk): name for pk, name in day.sign_ups.values_list("member", "member__name")}
    supposed = sum(change.count for change in changes if isinstance(change, PeopleChange))
    people |= {
        f"{NEWCOMER}-{number}": gettext("newcomer %(number)d") % {"number": number} for number in range(1, supposed + 1)
    }
    return Names(people=people, zones={str(pk): name for pk, name in day.stand.zones.values_list("pk", "name")})
