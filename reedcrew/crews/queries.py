"""The current plan of a day with names in place of keys, ready to be printed."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reedcrew.crews.models import Assignment, Plan, PlanDue
from reedcrew.crews.records import Record, reasons_in_words
from reedcrew.people.models import Account, Member
from reedcrew.trade.method import method_for
from reedcrew.trade.plan import Status
from reedcrew.trade.reasons import Reason
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.queries import next_days_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLine:
    """One person of the plan: who, with what, and why here. ``missing`` is what a member of a unit gets none of."""

    name: str
    role: str
    zone: str
    gear: Sequence[Record]
    missing: Sequence[Record]
    reasons: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLine:
    """One unit: who works beside whom, where."""

    number: int
    people: Sequence[PersonLine]
    reasons: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneLine:
    """A zone that people work in: how deep the plan took it to be, how they cut there, and the units."""

    zone: str
    depth_cm: int
    method: Reason
    units: Sequence[UnitLine]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedZoneLine:
    """A zone that nobody may enter today."""

    zone: str
    reasons: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class GearListLine:
    """One line of the gear list, with the rule it comes from and who would need a set that is missing."""

    item: str
    size: str
    unit: str
    needed: float
    own: float
    in_stock: float
    short: float
    without: Sequence[str]
    reasons: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSheet:
    """The plan page's content. ``due_since`` is set while a newer plan is on its way."""

    plan: Plan | None
    due_since: datetime.datetime | None
    zones: Sequence[ZoneLine] = ()
    shore: Sequence[PersonLine] = ()
    not_placed: Sequence[PersonLine] = ()
    closed_zones: Sequence[ClosedZoneLine] = ()
    gear: Sequence[GearListLine] = ()
    warnings: Sequence[Reason] = ()

    @property
    def short(self) -> list[GearListLine]:
        return [line for line in self.gear if line.short]

    @property
    def warnings_beside_gear(self) -> list[Reason]:
        """What is short stands with the gear, its reason and the people."""
        return [warning for warning in self.warnings if not warning.code.startswith("gear.short")]

    @property
    def people_in_water(self) -> int:
        return sum(len(unit.people) for zone in self.zones for unit in zone.units)

    @property
    def unit_count(self) -> int:
        return sum(len(zone.units) for zone in self.zones)

    @property
    def is_optimal(self) -> bool:
        return self.plan is not None and self.plan.status == Status.OPTIMAL

    @property
    def has_no_water_work(self) -> bool:
        return self.plan is not None and self.plan.status == Status.NO_WATER_WORK


def plan_sheet(day: WorkDay) -> PlanSheet:
    """The day's current plan in words. The number of queries does not grow with the roster."""
    due = PlanDue.objects.filter(day=day).first()
    due_since = due.since if due else None
    plan = day.plans.filter(current=True).select_related("made_by").first()
    if plan is None:
        return PlanSheet(plan=None, due_since=due_since)
    return _Printer(day, plan).sheet(due_since)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPlace:
    """What a plan gives somebody who reads their own place; partners are told by their given names."""

    name: str
    day: WorkDay
    zone: str
    role: str
    partners: Sequence[str]
    gear: Sequence[Record]
    missing: Sequence[Record]


def own_places(account: Account, now: datetime.datetime) -> list[OwnPlace]:
    """The places of an account and the children in its care in the plans of days to come, the next first.

    Two queries at any number of places.
    """
    mine = list(
        Assignment.objects.filter(
            plan__current=True,
            sign_up__in=next_days_of(account, now).filter(state=SignUp.State.CONFIRMED),
        )
        .select_related("plan", "sign_up__member", "sign_up__day", "zone")
        .order_by("sign_up__day__starts_at", "sign_up__number")
    )
    units: dict[tuple[int, int], list[Member]] = {}
    plans = [each.plan_id for each in mine if each.kind == Assignment.Kind.UNIT]
    for each in Assignment.objects.in_water().filter(plan__in=plans).select_related("sign_up__member"):
        units.setdefault((each.plan_id, each.unit_number or 0), []).append(each.sign_up.member)
    return [
        OwnPlace(
            name=each.sign_up.member.name,
            day=each.sign_up.day,
            zone=each.zone.name if each.zone else "",
            role=each.get_role_display(),
            partners=[
                member.given_name
                for member in units.get((each.plan_id, each.unit_number or 0), ())
                if member.pk != each.sign_up.member_id
            ],
            gear=each.gear,
            missing=_missing(each, each.plan.answer),
        )
        for each in mine
    ]


def _missing(assignment: Assignment, answer: Record) -> list[Record]:
    """The lines of the gear list that leave somebody in a unit without a piece."""
    if assignment.kind != Assignment.Kind.UNIT:
        return []  # on shore the lines name who would go into water if there were more
    return [line for line in answer["gear"] if str(assignment.sign_up.member_id) in line["without"]]


class _Printer:
    """Turns one plan's rows into lines, knowing every name that they need."""

    def __init__(self, day: WorkDay, plan: Plan) -> None:
        self._plan = plan
        self._assignments = list(plan.assignments.for_plan_page())
        self._people: Mapping[str, str] = {
            str(each.sign_up.member_id): each.sign_up.member.name for each in self._assignments
        }
        self._zones: Mapping[str, str] = {str(zone.pk): zone.name for zone in day.stand.zones.all()}

    def sheet(self, due_since: datetime.datetime | None) -> PlanSheet:
        answer = self._plan.answer
        return PlanSheet(
            plan=self._plan,
            due_since=due_since,
            zones=self._zone_lines(),
            shore=[self._person(each) for each in self._of(Assignment.Kind.SHORE)],
            not_placed=[self._person(each) for each in self._of(Assignment.Kind.NOT_PLACED)],
            closed_zones=[
                ClosedZoneLine(
                    zone=self._zones.get(closed["zone"], closed["zone"]), reasons=self._words(closed["reasons"])
                )
                for closed in answer["closed_zones"]
            ],
            gear=[self._gear(line) for line in answer["gear"]],
            warnings=self._words(answer["warnings"]),
        )

    def _of(self, kind: str) -> list[Assignment]:
        return [each for each in self._assignments if each.kind == kind]

    def _words(self, records: Sequence[Record]) -> tuple[Reason, ...]:
        return reasons_in_words(records, self._people, self._zones)

    def _person(self, assignment: Assignment) -> PersonLine:
        return PersonLine(
            name=assignment.sign_up.member.name,
            role=assignment.get_role_display(),
            zone=assignment.zone.name if assignment.zone else "",
            gear=assignment.gear,
            missing=_missing(assignment, self._plan.answer),
            reasons=self._words(assignment.reasons),
        )

    def _zone_lines(self) -> list[ZoneLine]:
        by_zone: dict[int, dict[int, list[Assignment]]] = {}
        for assignment in self._of(Assignment.Kind.UNIT):
            if assignment.zone_id is not None and assignment.unit_number is not None:
                by_zone.setdefault(assignment.zone_id, {}).setdefault(assignment.unit_number, []).append(assignment)
        lines = []
        for key, units in by_zone.items():
            depth_cm = self._plan.answer["depths_cm"][str(key)]
            lines.append(
                ZoneLine(
                    zone=self._zones[str(key)],
                    depth_cm=depth_cm,
                    method=method_for(depth_cm).reason,
                    units=[self._unit(number, members) for number, members in sorted(units.items())],
                )
            )
        return sorted(lines, key=lambda line: (line.depth_cm, line.zone))

    def _unit(self, number: int, members: Sequence[Assignment]) -> UnitLine:
        return UnitLine(
            number=number,
            people=[self._person(each) for each in members],
            reasons=self._words(members[0].reasons),
        )

    def _gear(self, line: Record) -> GearListLine:
        return GearListLine(
            **{name: line[name] for name in ("item", "size", "unit", "needed", "own", "in_stock", "short")},
            without=[self._people.get(key, key) for key in line["without"]],
            reasons=self._words(line["reasons"]),
        )
