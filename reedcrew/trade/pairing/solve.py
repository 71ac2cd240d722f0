"""Solves one day's model goal by goal and proves each optimum, as far as the allowed effort reaches."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from ortools.sat.python import cp_model

from reedcrew.trade.day import Day
from reedcrew.trade.pairing import eligibility, goals
from reedcrew.trade.pairing.aims import Aim, aims, least_change
from reedcrew.trade.pairing.effort import Effort
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.model import DayModel, Expr, total
from reedcrew.trade.pairing.partners import Conflict, match, match_most
from reedcrew.trade.pairing.placement import Placement
from reedcrew.trade.pairing.posts import Post
from reedcrew.trade.pins import IN_WATER

# Effort that one goal may take, in the solver's own units (about a second each on a fast core), which count work and
# not time: the same day gets the same plan on any machine. A roster of 300 needs about 3.
EFFORT_PER_GOAL = 30.0
TIE_BREAK_EFFORT = 0.3
EFFORT_OF_PROOF = 2.0  # to find out whether there is any plan at all
ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The units of a day. ``objective`` are their goals' values, ``bound`` what no plan can better.

    A bound holds for its goal among the plans that are as good in the goals before. ``proven`` tells that every goal's
    value equals its bound. ``kept`` are roles on shore that are pinned, or kept because they were told. Of those who
    were told something, no plan changes fewer than ``changed_bound`` people.
    """

    units: tuple[Placement, ...]
    objective: tuple[int, ...]
    bound: tuple[int, ...]
    proven: bool
    kept: Mapping[str, Post] = field(default_factory=dict)
    changed_bound: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPlan:
    """No plan keeps the pins; or, if not ``proven``, none was found with the effort allowed."""

    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The last solution of a model, and the bound of each of its aims.

    ``last`` is None where none was found, which is ``infeasible`` where there is none.
    """

    last: cp_model.CpSolver | None
    bounds: tuple[int, ...]
    infeasible: bool = False

    def value(self, expression: Expr) -> int:
        """An expression's value; 0 without a solution, as in the plan without any unit."""
        return 0 if self.last is None else int(self.last.value(expression))


def solve(day: Day, candidates: Sequence[Candidate], effort_per_goal: float = EFFORT_PER_GOAL) -> Solution | NoPlan:
    """The best units by the design's ordered goals. Deterministic: one worker, a fixed seed, effort instead of time.

    The unit of three needs no rule here: with it an odd number of people is in water, without it an even one, so the
    most people in water have it only where they are one more than any plan without it could have. Where pins or what
    was told ask for it, one of its people would be left out otherwise.

    What was told comes before all goals (``aims.least_change``).

    Solves again, with the people at fault as kinds of their own, while partners by name cannot be found for a solution.
    Each round adds at least one such person, and with all of them the model is exact, so the rounds end. If the effort
    of the whole plan ends before, people for whom no partner was found stay ashore.
    """
    effort = Effort(per_goal=effort_per_goal)
    built = DayModel(day, candidates)
    solved = solve_in_order(built.model, _ordered(built), effort)
    while isinstance(units := _named_units(built, solved, effort), Conflict):
        coarse, built = built, DayModel(day, candidates, built.alone | units.people)
        ordered = _ordered(built)
        _hint(built, coarse, solved)
        solved = solve_in_order(built.model, ordered, effort, solved.bounds)
    if solved.infeasible:
        return NoPlan(proven=True)
    if not _holds_pins(day, units) or (solved.last is None and day.pins):
        return NoPlan(proven=False)
    objective = goals.objective(day, units)
    told = int(day.told is not None)
    bound = solved.bounds[told : told + len(objective)]
    return Solution(
        units=units,
        objective=objective,
        bound=bound,
        proven=objective == bound,
        kept=_kept(built, solved),
        changed_bound=solved.bounds[0] if told else 0,
    )


def has_plan(
    day: Day,
    in_water: Collection[str] = (),
    *,
    unless_told: bool = True,
    candidates: Sequence[Candidate] | None = None,
) -> bool:
    """Whether some plan keeps the hard rules and the pins of a day, with these people in water.

    Where the effort is too small to tell, the answer is ``unless_told``. ``candidates`` are the day's, if the caller
    has them already.
    """
    if candidates is None:
        candidates = eligibility.candidates(day)
    alone: frozenset[str] = frozenset()
    effort = Effort(per_goal=EFFORT_OF_PROOF, whole=2 * EFFORT_OF_PROOF)
    while True:
        built = DayModel(day, candidates, alone)
        for person in in_water:
            built.model.add(total(built.in_water(person)) == 1)
        solver, status = effort.solve(built.model, EFFORT_OF_PROOF)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return unless_told and status != cp_model.INFEASIBLE
        units = _named_units(built, Solved(last=solver, bounds=()), effort)
        if not isinstance(units, Conflict):
            placed = {member for unit in units for member in unit.members}
            return placed.issuperset(in_water) or unless_told
        alone = built.alone | units.people


def solve_in_order(
    model: cp_model.CpModel, ordered: Sequence[Aim], effort: Effort, known: Sequence[int] = ()
) -> Solved:
    """Solves one aim after another, each with those before it held at their values.

    Every solve starts from the last solution. An aim whose value is at its limit already needs none. ``known`` are
    bounds of a model with more solutions: each holds here too, as long as every aim before reaches its own, and ends a
    search that meets it.
    """
    last: cp_model.CpSolver | None = None
    bounds: list[int] = []
    at_known = bool(known)
    for place, aim in enumerate(ordered):
        if at_known and aim.is_bounded:
            model.add(aim.value <= known[place] if aim.maximise else aim.value >= known[place])
        bound = aim.limit
        if last is None or last.value(aim.value) != aim.limit:
            (model.maximize if aim.maximise else model.minimize)(aim.value)
            solver, status = effort.solve(model, effort.per_goal if aim.is_bounded else TIE_BREAK_EFFORT)
            if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                last = solver
                bound = _bound(solver.best_objective_bound, aim)
            elif status == cp_model.INFEASIBLE and last is None:
                return Solved(last=None, bounds=tuple(one.limit for one in ordered), infeasible=True)
        bounds.append(bound)
        if last is None:
            at_known = False
            continue
        held = int(last.value(aim.value))
        at_known = at_known and held == known[place]
        model.add(aim.value >= held if aim.maximise else aim.value <= held)
        model.clear_hints()  # type: ignore[no-untyped-call]
        for index in range(len(model.proto.variables)):
            variable = model.get_int_var_from_proto_index(index)
            model.add_hint(variable, last.value(variable))
    return Solved(last=last, bounds=tuple(bounds))


# --- Private ---------------------------------------------------------------------------------------------------------


def _ordered(built: DayModel) -> tuple[Aim, ...]:
    if built.day.told is None:
        return aims(built)
    first = least_change(built)
    _hint_told(built)
    return (first, *aims(built))


def _kept(built: DayModel, solved: Solved) -> dict[str, Post]:
    """The posts that are kept, each with its zone."""
    kept = {person: built.post_of(person) for person, keeps in built.keeps.items() if solved.value(keeps)}
    for (person, zone), var in built.cuts.items():
        if solved.value(var):
            kept[person] = replace(kept[person], zone=zone)
    return kept


def _hint_told(built: DayModel) -> None:
    """Start the search from what people were told."""
    told = {id(var) for unit in built.told_units for var in built.keeps_unit(unit)}
    for var in (*built.tied.values(), *built.trio.values()):
        built.model.add_hint(var, id(var) in told)
    for var in built.keeps.values():
        built.model.add_hint(var, True)


def _hint(finer: DayModel, coarse: DayModel, solved: Solved) -> None:
    """Start the finer model's search from a solution of the coarser one, which it may not fit."""
    finer.model.clear_hints()  # type: ignore[no-untyped-call]
    for key, tied in finer.tied.items():
        finer.model.add_hint(tied, solved.value(coarse.tied[key]))
    for mine, theirs in ((finer.free, coarse.free), (finer.trio, coarse.trio)):
        for at, var in mine.items():
            finer.model.add_hint(var, solved.value(theirs[at]))
    for person, keeps in finer.keeps.items():
        finer.model.add_hint(keeps, solved.value(coarse.keeps[person]))


def _bound(found: float, aim: Aim) -> int:
    """The solver's bound as a whole number, on the safe side of rounding errors."""
    if aim.maximise:
        return min(aim.limit, math.floor(found + ROUNDING))
    return max(aim.limit, math.ceil(found - ROUNDING))


def _named_units(built: DayModel, solved: Solved, effort: Effort) -> tuple[Placement, ...] | Conflict:
    """All units of a solution with their members, sorted by zone and members.

    Where the effort is spent, a Conflict is no answer: then as many free people as are easily paired go in.
    """
    units = [
        Placement(zone=zone, members=(one, other))
        for (one, other, zone), var in built.tied.items()
        if solved.value(var)
    ]
    for zone in built.depths:
        trio = tuple(sorted(one for (one, where), var in built.trio.items() if where == zone and solved.value(var)))
        if trio:
            units.append(Placement(zone=zone, members=trio))
        free = [one for (one, where), var in built.free.items() if where == zone and solved.value(var)]
        unseasoned = sum(
            solved.value(var)
            for (one, other, where), var in built.cells.items()
            if where == zone and not one.seasoned and not other.seasoned
        )
        found = match(built, zone, free, unseasoned, effort)
        if isinstance(found, Conflict):
            if effort.left > 0:
                return found
            found = match_most(built, zone, free)
        units.extend(found)
    return tuple(sorted(units, key=lambda unit: (unit.zone, unit.members)))


def _holds_pins(day: Day, units: Sequence[Placement]) -> bool:
    """Whether the pins of people in water hold also where not everybody found a partner."""
    unit_of = {member: unit for unit in units for member in unit.members}
    places = [(pin, unit_of.get(pin.person)) for pin in day.pins if pin.kind in IN_WATER]
    return all(
        unit is not None and (pin.zone in (None, unit.zone)) and (pin.other is None or pin.other in unit.members)
        for pin, unit in places
    )
