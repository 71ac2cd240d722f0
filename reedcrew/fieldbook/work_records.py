"""The closed days of the fieldbook as stands read them: who cut where, for how long, and what was tallied."""

import datetime
from collections.abc import Mapping, Sequence

from django.db.models import Count, DurationField, Exists, ExpressionWrapper, F, OuterRef, Q, Sum

from reedcrew.crews.models import Assignment, Plan
from reedcrew.fieldbook.models import Attendance, Tally
from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.stands.work_records import SideWork, WorkRecord, ZoneCut
from reedcrew.trade.plan import Role
from reedcrew.workdays.models import WorkDay

HOUR = datetime.timedelta(hours=1)

Side = tuple[int, float]  # people and their hours


def work_records(group: Group, *, stand: Stand | None, latest: int | None) -> Sequence[WorkRecord]:
    """Closed days, the latest first: of a stand, the latest of the group, or both. Four queries, however many days.

    Hours in water are the stays recorded in water. Hours on land are those of the people whom the day's plan gave a
    spade; where it gave nobody one, those of everyone on shore. A zone counts as water when the plan of the day had it
    deeper than 0 cm, or, without a plan, its survey. Struck-out stays and tallies do not count.
    """
    closed = WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED).order_by("-starts_at", "-pk")
    days = closed[:latest]
    if stand is not None:
        asked = Q(stand=stand)
        days = closed.filter(asked if latest is None else asked | Q(pk__in=days.values("pk")))
    rows = list(days.values_list("pk", "stand", "date"))
    keys = [key for key, _stand, _date in rows]
    sides = _hours(keys)
    cut = _cut(keys, _planned_depths(keys))
    return [_record(key, stand_id, date, sides, cut) for key, stand_id, date in rows]


def _record(
    key: int,
    stand_id: int,
    date: datetime.date,
    sides: Mapping[tuple[int, bool, bool], Side],
    cut: Mapping[tuple[int, bool], list[ZoneCut]],
) -> WorkRecord:
    nobody = 0, 0.0
    water = [sides.get((key, True, spade), nobody) for spade in (False, True)]
    with_spade, without = sides.get((key, False, True), nobody), sides.get((key, False, False), nobody)
    land, shore = (with_spade, without) if with_spade[0] else (without, nobody)
    return WorkRecord(
        day_id=key,
        stand_id=stand_id,
        date=date,
        in_water=SideWork(
            people=sum(people for people, _ in water),
            person_hours=sum(hours for _, hours in water),
            cut=tuple(cut.get((key, True), ())),
        ),
        on_land=SideWork(people=land[0], person_hours=land[1], cut=tuple(cut.get((key, False), ()))),
        shore_hours=shore[1],
    )


def _hours(days: Sequence[int]) -> dict[tuple[int, bool, bool], Side]:
    """People and hours by day, in water or not, and whether the plan gave them a spade."""
    spade = Assignment.objects.filter(
        plan__current=True,
        plan__day=OuterRef("day"),
        sign_up__member=OuterRef("member"),
        role=Role.SPADE_CREW.value,
    )
    stay = ExpressionWrapper(F("signed_out_at") - F("signed_in_at"), output_field=DurationField())
    rows = (
        Attendance.objects.standing()
        .filter(day__in=days, signed_out_at__isnull=False)
        .annotate(spade=Exists(spade))
        .values("day", "in_water", "spade")
        .annotate(people=Count("member", distinct=True), time=Sum(stay))
        .order_by("day")
    )
    return {(row["day"], row["in_water"], row["spade"]): (row["people"], row["time"] / HOUR) for row in rows}


def _planned_depths(days: Sequence[int]) -> dict[tuple[int, int], int]:
    """Depth of each zone on each day by the day's plan."""
    plans = Plan.objects.filter(day__in=days, current=True).values_list("day", "answer__depths_cm")
    return {(day, int(zone)): depth_cm for day, depths in plans for zone, depth_cm in (depths or {}).items()}


def _cut(days: Sequence[int], depths: Mapping[tuple[int, int], int]) -> dict[tuple[int, bool], list[ZoneCut]]:
    """Tallies by day, in water or on land."""
    found: dict[tuple[int, bool], list[ZoneCut]] = {}
    tallies = Tally.objects.standing().filter(day__in=days).order_by("day", "entered_at", "id")
    rows = tallies.values_list("day", "zone", "zone__depth_cm", "stems", "stems_low", "stems_high")
    for day, zone, surveyed_cm, stems, low, high in rows:
        in_water = depths.get((day, zone), surveyed_cm) > 0
        found.setdefault((day, in_water), []).append(ZoneCut(zone_id=zone, stems=stems, low=low, high=high))
    return found


def time_on_site(day: WorkDay) -> dict[int, datetime.timedelta]:
    """Time between sign-in and sign-out of everyone who was on site, by member key; one query."""
    stays = Attendance.objects.filter(day=day, struck_at=None, signed_out_at__isnull=False)
    total: dict[int, datetime.timedelta] = {}
    for member, came, left in stays.values_list("member", "signed_in_at", "signed_out_at"):
        if left is not None:
            total[member] = total.get(member, datetime.timedelta(0)) + (left - came)
    return total
