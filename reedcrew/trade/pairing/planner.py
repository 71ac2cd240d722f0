"""The plan of one day, from the roster to the finished plan with reasons and gear."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from reedcrew.trade import gear
from reedcrew.trade.day import Day
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing import eligibility, explain, roles, sets
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.pin_rules import joint_refusals, not_found, static_refusals
from reedcrew.trade.pairing.placement import Placement
from reedcrew.trade.pairing.remedies import with_remedies
from reedcrew.trade.pairing.solve import EFFORT_PER_GOAL, NoPlan, Solution, solve
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.pins import PinsRefused
from reedcrew.trade.plan import Allotment, ClosedZone, NotPlaced, Plan, ShoreRole, Status, Unit
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.told import Told, changed_people


def plan_day(day: Day, *, effort_per_goal: float = EFFORT_PER_GOAL, remedies: bool = True) -> Plan:
    """The best plan of a day that keeps the hard rules H1 to H11 and its pins, with reasons, remedies and gear.

    Where ``day.told`` is set, the plan changes as few people as it can (trade.told), and among those plans it is the
    best. The status is optimal if every value is proven, feasible if the search ended before (``effort_per_goal`` is in
    units of the solver's work, about seconds; a whole plan has a limit, too), and no_water_work if nobody can be in
    water. The same day gives the same plan, in whatever order its people, zones and stock stand. Each volunteer stands
    in exactly one of units, shore and not_placed.

    Zones: depth 0 is dry land, more is water worked in units only, over 30 cm is water work. Ties between equally good
    plans: a first-aider on shore beats one in water; then the solver's fixed search over people sorted by id decides.

    Remedies take about half of the time; without ``remedies`` the same plan comes with none, as for comparing plans.

    Raises PinsRefused for pins that cannot all be kept; UnusableInput for repeated ids or zone names, for measures that
    cannot be, and for pins without the fields that they need.
    """
    eligibility.check(day)
    people = eligibility.candidates(day)
    if refusals := static_refusals(day):
        raise PinsRefused(refusals)
    solution = solve(day, people, effort_per_goal)
    if isinstance(solution, NoPlan):
        raise PinsRefused((solution.proven and joint_refusals(day)) or not_found(day))
    draft = _draft(day, people, solution)
    return gear.complete(day, with_remedies(day, draft) if remedies else draft)


def replan(day: Day, told: Told, *, effort_per_goal: float = EFFORT_PER_GOAL) -> Plan:
    """Plan a day again with the least change to what people were told: ``plan_day`` of the day with ``told``."""
    return plan_day(replace(day, told=told), effort_per_goal=effort_per_goal)


# --- Private ---------------------------------------------------------------------------------------------------------


def _draft(day: Day, people: Sequence[Candidate], solution: Solution) -> Plan:
    """The plan before its gear list."""
    by_id = {one.id: one for one in people}
    handed_out = _handed_out(day, by_id, solution.units)
    ashore = explain.ashore_reasons(day, people, solution.units, handed_out, solution.kept)
    placed = {member for unit in solution.units for member in unit.members}
    duties = roles.duties(day, solution.units, [one for one in people if one.id not in placed], solution.kept)
    on_shore = {duty.person.id for duty in duties}
    plan = Plan(
        status=Status.OPTIMAL,
        objective=solution.objective,
        bound=solution.bound,
        units=tuple(_unit(day, unit, by_id, handed_out) for unit in solution.units),
        shore=tuple(
            ShoreRole(
                volunteer=duty.person.id,
                role=duty.role,
                zone=duty.zone,
                reasons=(duty.reason, *ashore[duty.person.id]),
            )
            for duty in duties
        ),
        not_placed=tuple(
            NotPlaced(volunteer=one.id, reasons=_unplaced_reasons(one, ashore[one.id], on_shore))
            for one in people
            if one.id not in placed and one.id not in on_shore
        ),
        closed_zones=_closed_zones(day),
        gear=(),
        warnings=(),
    )
    changed = () if day.told is None else changed_people(day.told, plan)
    changed_bound = min(solution.changed_bound, len(changed))
    proven = solution.proven and changed_bound == len(changed)
    return replace(
        plan,
        status=_status(solution, proven),
        changed=changed,
        changed_bound=changed_bound,
        warnings=_warnings(day, proven),
    )


def _handed_out(
    day: Day, people: Mapping[str, Candidate], units: Sequence[Placement]
) -> dict[str, tuple[Allotment, ...]]:
    depths = {zone.name: zone.depth_cm for zone in day.zones}
    members: dict[bool, list[Candidate]] = {True: [], False: []}
    for unit in units:
        members[is_water_work(depths[unit.zone])].extend(people[member] for member in unit.members)
    return sets.hand_out(day, members[True]) | sets.hand_out_footwear(day, members[False])


def _status(solution: Solution, proven: bool) -> Status:
    if not proven:
        return Status.FEASIBLE
    return Status.OPTIMAL if solution.units else Status.NO_WATER_WORK


def _unit(
    day: Day, unit: Placement, people: Mapping[str, Candidate], handed_out: Mapping[str, tuple[Allotment, ...]]
) -> Unit:
    return Unit(
        zone=unit.zone,
        members=unit.members,
        gear=tuple((member, handed_out.get(member, ())) for member in unit.members),
        reasons=explain.unit_reasons(day, unit, people),
    )


def _unplaced_reasons(one: Candidate, ashore: tuple[Reason, ...], on_shore: Collection[str]) -> tuple[Reason, ...]:
    """Why a person has no role on shore either, beside why they are not in water."""
    if one.person.adult or one.guardian is not None:
        return (*ashore, reason("pin.no_role", who=one.id) if on_shore else reason("role.no_work"))
    code = "H3.no_guardian" if one.person.guardian is None else "H3.guardian_absent"
    absent = reason(code, who=one.id)
    return ashore if absent in ashore else (*ashore, absent)


def _closed_zones(day: Day) -> tuple[ClosedZone, ...]:
    found = []
    for zone in sorted(day.zones, key=lambda zone: zone.name):
        reasons = closure(zone, day.policy)
        if zone.depth_cm > 0 and not eligibility.first_aiders(day):
            reasons = (*reasons, reason("H10.no_first_aider"))
        if reasons:
            found.append(ClosedZone(zone=zone.name, reasons=reasons))
    return tuple(found)


def _warnings(day: Day, proven: bool) -> tuple[Reason, ...]:
    found = []
    if not eligibility.first_aiders(day):
        found.append(reason("H10.no_first_aider"))
    if not proven:
        found.append(reason("plan.not_proven"))
    return tuple(found)
