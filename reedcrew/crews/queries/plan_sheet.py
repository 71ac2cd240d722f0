"""A plan of a day with names in place of keys, ready to be printed."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.crews.models import Assignment, Plan, PlanDue
from reedcrew.crews.records import Names, Record, reasons_in_words
from reedcrew.trade.method import method_for
from reedcrew.trade.plan import Status
from reedcrew.trade.reasons import Reason
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLine:
    """One person of the plan: who, with what, and why here.

    ``missing`` is what a member of a unit gets none of, ``remedies`` what would let them into the water, ``fallen`` why
    what they were told stands no longer. ``member`` is the key of their row.
    """

    member: int
    name: str
    role: str
    zone: str
    gear: Sequence[Record]
    missing: Sequence[Record]
    reasons: Sequence[Reason]
    remedies: Sequence[Reason] = ()
    fallen: Sequence[Reason] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLine:
    """One unit: who works beside whom, where; ``fallen`` says why it stands no longer."""

    number: int
    people: Sequence[PersonLine]
    reasons: Sequence[Reason]
    fallen: Sequence[Reason] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneLine:
    """A zone that people work in: how deep the plan took it to be, how they cut there, and the units."""

    zone: str
    depth_cm: int
    method: Reason
    units: Sequence[UnitLine]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedZoneLine:
    """A zone that nobody may enter today, and what would open it."""

    zone: str
    reasons: Sequence[Reason]
    remedies: Sequence[Reason] = ()


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
    def fallen_units(self) -> list[UnitLine]:
        """Units that people were told and that stand no longer."""
        return [unit for zone in self.zones for unit in zone.units if unit.fallen]

    @property
    def fallen_roles(self) -> list[PersonLine]:
        return [person for person in self.shore if person.fallen]

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


def plan_sheet(day: WorkDay, plan: Plan | None = None) -> PlanSheet:
    """A plan of the day in words, by default the one that counts. The queries do not grow with the roster."""
    due = PlanDue.objects.filter(day=day).first()
    due_since = due.since if due else None
    plan = plan or Plan.objects.in_force().filter(day=day).select_related("made_by", "accepted_by").first()
    if plan is None:
        return PlanSheet(plan=None, due_since=due_since)
    return _Printer(day, plan).sheet(due_since)


def missing_of(assignment: Assignment, answer: Record) -> list[Record]:
    """The lines of the gear list that leave somebody in a unit without a piece."""
    if assignment.kind != Assignment.Kind.UNIT:
        return []  # on shore the lines name who would go into water if there were more
    return [line for line in answer["gear"] if str(assignment.sign_up.member_id) in line["without"]]


# --- Private ---------------------------------------------------------------------------------------------------------


class _Printer:
    """Turns one plan's rows into lines, knowing every name that they need."""

    def __init__(self, day: WorkDay, plan: Plan) -> None:
        self._plan = plan
        self._assignments = list(plan.assignments.for_plan_page())
        self._names = Names(
            people={str(each.sign_up.member_id): each.sign_up.member.name for each in self._assignments},
            zones={str(zone.pk): zone.name for zone in day.stand.zones.all()},
        )

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
                    zone=self._names.zones.get(closed["zone"], closed["zone"]),
                    reasons=self._words(closed["reasons"]),
                    remedies=self._words(closed.get("remedies", ())),
                )
                for closed in answer["closed_zones"]
            ],
            gear=[self._gear(line) for line in answer["gear"]],
            warnings=self._words(answer["warnings"]),
        )

    def _of(self, kind: str) -> list[Assignment]:
        return [each for each in self._assignments if each.kind == kind]

    def _words(self, records: Sequence[Record]) -> tuple[Reason, ...]:
        return reasons_in_words(records, self._names)

    def _person(self, assignment: Assignment) -> PersonLine:
        return PersonLine(
            member=assignment.sign_up.member_id,
            name=assignment.sign_up.member.name,
            role=assignment.get_role_display(),
            zone=assignment.zone.name if assignment.zone else "",
            gear=assignment.gear,
            missing=missing_of(assignment, self._plan.answer),
            reasons=self._words(assignment.reasons),
            remedies=self._words(assignment.remedies),
            fallen=self._words(assignment.fallen),
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
                    zone=self._names.zones[str(key)],
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
            fallen=self._words(members[0].fallen),
        )

    def _gear(self, line: Record) -> GearListLine:
        return GearListLine(
            **{name: line[name] for name in ("item", "size", "unit", "needed", "own", "in_stock", "short")},
            without=[self._names.people.get(key, key) for key in line["without"]],
            reasons=self._words(line["reasons"]),
        )
