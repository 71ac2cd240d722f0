"""Who is in water at a moment, which units could go, and when somebody must count again."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import F, Max

from reedcrew.crews.models import Assignment
from reedcrew.fieldbook.models import Attendance, FieldEntryQuerySet, HeadCheck, WaterStint
from reedcrew.fieldbook.queries import who_heard
from reedcrew.people.models import Member
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Zone
from reedcrew.workdays.models import WorkDay

A_MINUTE = datetime.timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitInside:
    """A unit in water: its people, since when, and whether somebody was left alone."""

    number: int | None
    zone: Zone | None
    people: Sequence[Member]
    since: datetime.datetime
    minutes: int

    @property
    def alone(self) -> bool:
        return len(self.people) == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitAshore:
    """A unit of the accepted plan that is not in water, and who of it is not here or has not heard the briefing."""

    number: int
    zone: Zone
    people: Sequence[Member]
    away: Sequence[Member]
    deaf: Sequence[Member]
    fallen: bool

    @property
    def ready(self) -> bool:
        return not (self.away or self.deaf or self.fallen)


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterState:
    """The water of a day at a moment. ``due_at`` is when the next head count is due, None while nobody is in water."""

    inside: Sequence[UnitInside]
    ashore: Sequence[UnitAshore]
    may_pair: Sequence[Member]
    last_check: HeadCheck | None
    interval_min: int
    due_at: datetime.datetime | None
    overdue_min: int | None

    @property
    def count(self) -> int:
        return sum(len(unit.people) for unit in self.inside)


def water_state(day: WorkDay, now: datetime.datetime) -> WaterState:
    """The state of the water. The number of queries grows with nothing."""
    stints = list(
        WaterStint.objects.in_water()
        .filter(day=day)
        .select_related("member", "zone")
        .order_by("zone__name", "unit_number", "member__name", "pk")
    )
    inside_members = {stint.member_id for stint in stints}
    here = {
        stay.member_id: stay.member for stay in Attendance.objects.on_site().filter(day=day).select_related("member")
    }
    heard = who_heard(day)
    last = HeadCheck.objects.standing().filter(day=day).order_by("-entered_at", "-pk").first()
    interval = policy_of(day.group).headcount_minutes
    due_at = None
    if stints:
        went_in = min(stint.in_at for stint in stints)
        # Only a count of those in water that agreed starts the interval anew; a phone rings by the same rule.
        counted = HeadCheck.objects.standing().filter(day=day, all_out=False, seen=F("expected"))
        agreed_at = counted.aggregate(latest=Max("entered_at"))["latest"]
        due_at = max(went_in, agreed_at or went_in) + interval * A_MINUTE
    may_pair = [member for key, member in here.items() if key in heard and key not in inside_members]
    return WaterState(
        inside=_inside(stints, now),
        ashore=_ashore(day, inside_members, set(here), heard),
        may_pair=sorted(may_pair, key=lambda member: (member.name, member.pk)),
        last_check=last,
        interval_min=interval,
        due_at=due_at,
        overdue_min=int((now - due_at) / A_MINUTE) if due_at is not None and now > due_at else None,
    )


def times_in_water(day: WorkDay) -> FieldEntryQuerySet[WaterStint]:
    """Every time in water of a day that is over, struck ones too, the latest first."""
    over = WaterStint.objects.filter(day=day).exclude(out_at=None, struck_at=None)
    return over.select_related("member", "zone").order_by("-in_at", "member__name", "pk")


def counts_of(day: WorkDay) -> FieldEntryQuerySet[HeadCheck]:
    """Every head count of a day, struck ones too, the latest first."""
    return HeadCheck.objects.filter(day=day).order_by("-entered_at", "-pk")


# --- Private ---------------------------------------------------------------------------------------------------------


def _inside(stints: Sequence[WaterStint], now: datetime.datetime) -> list[UnitInside]:
    units: dict[tuple[int | None, int | None, datetime.datetime | None], list[WaterStint]] = {}
    for stint in stints:
        # Pairs of the moment have no number: those who went in together are one.
        moment = None if stint.unit_number else stint.in_at
        units.setdefault((stint.zone_id, stint.unit_number, moment), []).append(stint)
    found = []
    for unit in units.values():
        since = min(stint.in_at for stint in unit)
        found.append(
            UnitInside(
                number=unit[0].unit_number,
                zone=unit[0].zone,
                people=[stint.member for stint in unit],
                since=since,
                minutes=max(int((now - since) / A_MINUTE), 0),
            )
        )
    return found


def _ashore(day: WorkDay, inside: set[int], here: set[int], heard: set[int]) -> list[UnitAshore]:
    told = Assignment.objects.in_water().filter(plan__day=day, plan__told=True)
    units: dict[int, list[Assignment]] = {}
    for each in told.select_related("sign_up__member", "zone").order_by("unit_number", "sign_up__member__name", "pk"):
        units.setdefault(each.unit_number or 0, []).append(each)
    found = []
    for number, unit in units.items():
        people = [each.sign_up.member for each in unit]
        zone = unit[0].zone
        if zone is None or any(member.pk in inside for member in people):
            continue
        found.append(
            UnitAshore(
                number=number,
                zone=zone,
                people=people,
                away=[member for member in people if member.pk not in here],
                deaf=[member for member in people if member.pk in here and member.pk not in heard],
                fallen=any(each.fallen for each in unit),
            )
        )
    return found
