"""Plans of days that count: what people were told, or before that the latest proposal. No measures, no reasons about
anybody: a program gets who works where, and what the crew needs."""

import datetime
from collections.abc import Sequence
from typing import Any

from django.db.models import Max, Q, QuerySet

from reedcrew.api.records.changes import latest
from reedcrew.api.records.days import in_site_time
from reedcrew.api.records.people import person_record
from reedcrew.crews.models import Assignment, Plan
from reedcrew.people.models import Group

Record = dict[str, Any]
GEAR_COLUMNS = ("item", "size", "unit", "needed", "own", "in_stock", "short")


def plans_of(group: Group) -> QuerySet[Plan]:
    """The plan that counts of each day of the group."""
    return Plan.objects.in_force().filter(day__stand__site__group=group)


def changed_since(rows: QuerySet[Plan], since: datetime.datetime) -> QuerySet[Plan]:
    """Plans of days for which one was made or accepted since then: a later one can show that the told one fell."""
    days = Plan.objects.filter(Q(made_at__gte=since) | Q(accepted_at__gte=since)).values("day")
    return rows.filter(day__in=days)


def plan_records(plans: QuerySet[Plan], *, names: bool) -> list[Record]:
    """The plans as records, in the order given. The queries do not grow with their number, nor with the rosters."""
    found = list(plans.select_related("day__stand__site").prefetch_related("day__stand__zones"))
    rows = Assignment.objects.filter(plan__in=[plan.pk for plan in found])
    assignments: dict[int, list[Assignment]] = {plan.pk: [] for plan in found}
    for each in rows.select_related("sign_up__member__profile", "zone").order_by("unit_number", "pk"):
        assignments[each.plan_id].append(each)
    of_days = Plan.objects.filter(day__in=[plan.day_id for plan in found]).order_by().values_list("day")
    moments = {day: latest(made, told) for day, made, told in of_days.annotate(a=Max("made_at"), b=Max("accepted_at"))}
    return [_plan(plan, assignments[plan.pk], moments[plan.day_id], names=names) for plan in found]


# --- Private ---------------------------------------------------------------------------------------------------------


def _plan(
    plan: Plan, assignments: Sequence[Assignment], updated_at: datetime.datetime | None, *, names: bool
) -> Record:
    day, answer = plan.day, plan.answer
    zone_names = {zone.pk: zone.name for zone in day.stand.zones.all()}

    def person(each: Assignment) -> Record:
        return dict(person_record(each.sign_up.member, day.date, names=names))

    units: dict[int, list[Assignment]] = {}
    for each in assignments:
        if each.kind == Assignment.Kind.UNIT and each.unit_number is not None:
            units.setdefault(each.unit_number, []).append(each)
    shore = [each for each in assignments if each.kind == Assignment.Kind.SHORE]
    return {
        "id": plan.pk,
        "day": {"id": day.pk, "title": day.title, "date": day.date},
        "told": plan.told,
        "status": plan.status,
        "made_at": in_site_time(plan.made_at, day.zone_info),
        "accepted_at": None if plan.accepted_at is None else in_site_time(plan.accepted_at, day.zone_info),
        "units": [
            {
                "number": number,
                "zone": _zone(members[0]),
                "depth_cm": answer["depths_cm"].get(str(members[0].zone_id)),
                "people": [person(each) for each in members],
                "stands": not members[0].fallen,
                "fallen_codes": sorted({fault["code"] for fault in members[0].fallen}),
            }
            for number, members in sorted(units.items())
        ],
        "shore": [
            {"role": each.role, "zone": _zone(each), "person": person(each), "stands": not each.fallen}
            for each in shore
        ],
        "not_placed": [person(each) for each in assignments if each.kind == Assignment.Kind.NOT_PLACED],
        "closed_zones": [
            {
                "zone": {"id": int(closed["zone"]), "name": zone_names.get(int(closed["zone"]), "")},
                "codes": sorted({reason["code"] for reason in closed["reasons"]}),
            }
            for closed in answer["closed_zones"]
        ],
        "gear": [{name: line[name] for name in GEAR_COLUMNS} for line in answer["gear"]],
        "updated_at": updated_at,
    }


def _zone(assignment: Assignment) -> Record | None:
    zone = assignment.zone
    return None if zone is None else {"id": zone.pk, "name": zone.name}
