"""Solves one day's model goal by goal and proves each optimum, as far as the allowed effort reaches."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from reedcrew.trade.day import Day
from reedcrew.trade.pairing import goals
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.model import Aim, DayModel, Expr, aims
from reedcrew.trade.pairing.partners import Conflict, Placement, match

# Effort that one goal may take, in the solver's own units (about a second each on a fast core), which count work and
# not time: the same day gets the same plan on any machine. A roster of 300 needs about 3.
EFFORT_PER_GOAL = 30.0
TIE_BREAK_EFFORT = 0.3
ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The units of a day. ``objective`` are their goals' values, ``bound`` what no plan can better.

    A bound holds for its goal among the plans that are as good in the goals before. ``proven`` tells that every goal's
    value equals its bound.
    """

    units: tuple[Placement, ...]
    objective: tuple[int, ...]
    bound: tuple[int, ...]
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The last solution of a model, and the bound of each of its aims. ``last`` is None where none was found."""

    last: cp_model.CpSolver | None
    bounds: tuple[int, ...]

    def value(self, expression: Expr) -> int:
        """An expression's value; 0 without a solution, as in the plan without any unit."""
        return 0 if self.last is None else int(self.last.value(expression))


def solve(day: Day, candidates: Sequence[Candidate], effort_per_goal: float = EFFORT_PER_GOAL) -> Solution:
    """The best units by the design's ordered goals. Deterministic: one worker, a fixed seed, effort instead of time.

    The unit of three needs no rule here: with it an odd number of people is in water, without it an even one, so the
    most people in water have it only where they are one more than any plan without it could have.

    Solves again, with the people at fault as kinds of their own, while partners by name cannot be found for a solution.
    Each round adds at least one such person, and with all of them the model is exact, so the rounds end.
    """
    built = DayModel(day, candidates)
    solved = solve_in_order(built.model, aims(built), effort_per_goal)
    while isinstance(units := _named_units(built, solved), Conflict):
        coarse, built = built, DayModel(day, candidates, built.alone | units.people)
        ordered = aims(built)
        _hint(built, coarse, solved)
        solved = solve_in_order(built.model, ordered, effort_per_goal, solved.bounds)
    objective = goals.objective(day, units)
    bound = solved.bounds[: len(objective)]
    return Solution(units=units, objective=objective, bound=bound, proven=objective == bound)


def solve_in_order(
    model: cp_model.CpModel, ordered: Sequence[Aim], effort_per_goal: float, known: Sequence[int] = ()
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
        if at_known and aim.is_goal:
            model.add(aim.value <= known[place] if aim.maximise else aim.value >= known[place])
        bound = aim.limit
        if last is None or last.value(aim.value) != aim.limit:
            (model.maximize if aim.maximise else model.minimize)(aim.value)
            solver = solver_for(effort_per_goal if aim.is_goal else TIE_BREAK_EFFORT)
            if solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                last = solver
                bound = _bound(solver.best_objective_bound, aim)
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


def solver_for(effort: float) -> cp_model.CpSolver:
    """A solver that answers the same on every machine: one worker, a fixed seed, effort counted in work."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.linearization_level = 2  # the proofs rest on linear relaxations
    solver.parameters.max_deterministic_time = effort
    # Tried on made-up days of 60 and 300: these take longer here than they save.
    solver.parameters.symmetry_level = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_presolve_iterations = 1
    return solver


# --- Private ---------------------------------------------------------------------------------------------------------


def _hint(finer: DayModel, coarse: DayModel, solved: Solved) -> None:
    """Start the finer model's search from a solution of the coarser one, which it may not fit."""
    for key, tied in finer.tied.items():
        finer.model.add_hint(tied, solved.value(coarse.tied[key]))
    for mine, theirs in ((finer.free, coarse.free), (finer.trio, coarse.trio)):
        for at, var in mine.items():
            finer.model.add_hint(var, solved.value(theirs[at]))


def _bound(found: float, aim: Aim) -> int:
    """The solver's bound as a whole number, on the safe side of rounding errors."""
    if aim.maximise:
        return min(aim.limit, math.floor(found + ROUNDING))
    return max(aim.limit, math.ceil(found - ROUNDING))


def _named_units(built: DayModel, solved: Solved) -> tuple[Placement, ...] | Conflict:
    """All units of a solution with their members, sorted by zone and members."""
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
        found = match(built, zone, free, unseasoned)
        if isinstance(found, Conflict):
            return found
        units.extend(found)
    return tuple(sorted(units, key=lambda unit: (unit.zone, unit.members)))
