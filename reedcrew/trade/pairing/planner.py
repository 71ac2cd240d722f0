"""The plan of one day, from the roster to the finished plan with reasons and gear."""

from reedcrew.trade import gear
from reedcrew.trade.day import Day
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing import eligibility, explain, goals, roles, sets
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.partners import Placement
from reedcrew.trade.pairing.solve import EFFORT_PER_GOAL, Solution, solve
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.plan import Allotment, ClosedZone, NotPlaced, Plan, ShoreRole, Status, Unit
from reedcrew.trade.reasons import Reason, reason

NOTHING = Solution(units=(), objective=(0,) * len(goals.MAXIMISED), bound=(0,) * len(goals.MAXIMISED), proven=True)


def plan_day(day: Day, *, effort_per_goal: float = EFFORT_PER_GOAL) -> Plan:
    """The best plan of a day that keeps the hard rules H1 to H11, with reasons and gear.

    The status is optimal if every goal's value is proven, feasible if the search ended before (``effort_per_goal`` is
    in units of the solver's work, about seconds), and no_water_work if nobody can be in water. The same day gives the
    same plan, in whatever order its people, zones and stock stand. Each volunteer stands in exactly one of units,
    shore and not_placed.

    Zones: depth 0 is dry land, more is water worked in units only, over 30 cm is water work. Ties between equally good
    plans: a first-aider on shore beats one in water; then the solver's fixed search over people sorted by id decides.

    Raises UnusableInput for repeated ids or zone names and for measures that cannot be.
    """
    eligibility.check(day)
    people = eligibility.candidates(day)
    solution = solve(day, people, effort_per_goal) if eligibility.first_aiders(day) else NOTHING
    by_id = {one.id: one for one in people}
    depths = {zone.name: zone.depth_cm for zone in day.zones}
    in_water_work = [
        by_id[member] for unit in solution.units if is_water_work(depths[unit.zone]) for member in unit.members
    ]
    handed_out = sets.hand_out(day, in_water_work)
    ashore = explain.ashore_reasons(day, people, solution.units, handed_out)
    placed = {member for unit in solution.units for member in unit.members}
    duties = roles.duties(day, solution.units, [one for one in people if one.id not in placed])
    on_shore = {duty.person.id for duty in duties}
    draft = Plan(
        status=_status(solution),
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
            NotPlaced(volunteer=one.id, reasons=_unplaced_reasons(one, ashore[one.id]))
            for one in people
            if one.id not in placed and one.id not in on_shore
        ),
        closed_zones=_closed_zones(day),
        gear=(),
        warnings=_warnings(day, solution),
    )
    return gear.complete(day, draft)


# --- Private ---------------------------------------------------------------------------------------------------------


def _status(solution: Solution) -> Status:
    if not solution.proven:
        return Status.FEASIBLE
    return Status.OPTIMAL if solution.units else Status.NO_WATER_WORK


def _unit(
    day: Day, unit: Placement, people: dict[str, Candidate], handed_out: dict[str, tuple[Allotment, ...]]
) -> Unit:
    return Unit(
        zone=unit.zone,
        members=unit.members,
        gear=tuple((member, handed_out.get(member, ())) for member in unit.members),
        reasons=explain.unit_reasons(day, unit, people),
    )


def _unplaced_reasons(one: Candidate, ashore: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Why a person has no role on shore either, beside why they are not in water."""
    if one.person.adult or one.guardian is not None:
        return (*ashore, reason("role.no_work"))
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


def _warnings(day: Day, solution: Solution) -> tuple[Reason, ...]:
    found = []
    if not eligibility.first_aiders(day):
        found.append(reason("H10.no_first_aider"))
    if not solution.proven:
        found.append(reason("plan.not_proven"))
    return tuple(found)
