"""How fast a day is planned, and how near to proven best."""

import json
import time
from dataclasses import replace
from functools import partial

from reedcrew.crews.contract import day_from_json, plan_as_json, read_json
from reedcrew.trade.day import Day
from reedcrew.trade.pairing import eligibility, plan_day
from reedcrew.trade.pairing.aims import aims
from reedcrew.trade.pairing.effort import solver_for
from reedcrew.trade.pairing.model import DayModel
from reedcrew.trade.pairing.solve import EFFORT_PER_GOAL, TIE_BREAK_EFFORT
from reedcrew.trade.plan import Status
from reedcrew.trade.told import told_of
from tests.bench.crowds import crowd
from tests.bench.measure import Benchmark, Outcome, in_turn, ratio_of, timed

PEOPLE, PEOPLE_GROWN, PEOPLE_LARGE = 60, 120, 300
GROWTH = (30, PEOPLE, PEOPLE_GROWN, 240)
SEEDS = (1, 2, 3)
ROUNDS = 3


def planning_over_bare_solve() -> Outcome:
    """Whole planning of 60 people on 4 zones ÷ the bare CP-SAT solves of the same models; bound 3.

    Whole planning reads the JSON, judges everyone, builds the model, solves it goal by goal, names partners, hands out
    gear, writes the reasons and prints the plan. The bare side only runs the solver on the same models, goal after
    goal, each held at the value before; building them is not timed. Each run does the same three days.
    """
    days = [json.dumps(crowd(PEOPLE, seed)) for seed in SEEDS]
    seconds = in_turn(
        {
            "whole planning": lambda: timed(lambda: [_printed_plan(day) for day in days]),
            "bare solve": lambda: sum(_bare_solve_seconds(day) for day in days),
        },
        ROUNDS,
    )
    return ratio_of(seconds, over="whole planning", under="bare solve")


def bound_over_objective() -> Outcome:
    """Distance of a plan of 300 people from its bounds; bound 1.01.

    For each of the five goals the larger of value and bound, plus 1, is divided by the smaller plus 1, so that a goal
    at 0 counts too; the worst of them over all days is the ratio. It is exactly 1 where everything is proven best.
    """
    table = [("day", "seconds", "status", "objective", "bound")]
    ratio = 1.0
    for seed in SEEDS:
        start = time.perf_counter()
        day, _ = day_from_json(crowd(PEOPLE_LARGE, seed))
        plan = plan_day(day)
        seconds = time.perf_counter() - start
        for value, bound in zip(plan.objective, plan.bound, strict=True):
            ratio = max(ratio, (max(value, bound) + 1) / (min(value, bound) + 1))
        table.append((str(seed), f"{seconds:.1f}", plan.status, str(plan.objective), str(plan.bound)))
    return Outcome(table=table, ratio=ratio)


def replanning_over_planning() -> Outcome:
    """Planning again after three people of 60 do not come ÷ the first plan; bound 1.

    The three are two members of different units and one of the shore. Each run does the same three days; reading the
    days is not timed.
    """
    first = [day_from_json(crowd(PEOPLE, seed))[0] for seed in SEEDS]
    again = [_after_no_shows(day) for day in first]
    seconds = in_turn(
        {
            "first plan": lambda: timed(lambda: [plan_day(day) for day in first]),
            "again after three no-shows": lambda: timed(lambda: [plan_day(day) for day in again]),
        },
        ROUNDS,
    )
    return ratio_of(seconds, over="again after three no-shows", under="first plan")


def growth_of_planning() -> Outcome:
    """The time of planning 120 people ÷ that of 60; bound 8. The table goes from 30 to 240 people.

    The same three days of each size; each line has the sums of their objectives and bounds, and the seconds of all.
    """
    table = [("people", "seconds", "proven", "objective", "bound")]
    seconds: dict[int, float] = {}
    for people in GROWTH:
        days = [day_from_json(crowd(people, seed))[0] for seed in SEEDS]
        start = time.perf_counter()
        plans = [plan_day(day) for day in days]
        seconds[people] = time.perf_counter() - start
        proven = f"{sum(plan.status is Status.OPTIMAL for plan in plans)} of {len(plans)}"
        objective = tuple(map(sum, zip(*(plan.objective for plan in plans), strict=True)))
        bound = tuple(map(sum, zip(*(plan.bound for plan in plans), strict=True)))
        table.append((str(people), f"{seconds[people]:.1f}", proven, str(objective), str(bound)))
    return Outcome(table=table, ratio=seconds[PEOPLE_GROWN] / seconds[PEOPLE])


BENCHMARKS = (
    Benchmark(
        name="plan",
        about="planning 60 people on 4 zones ÷ the bare solve of the same model",
        bound=3,
        run=planning_over_bare_solve,
    ),
    Benchmark(
        name="plan-large",
        about="bound ÷ objective of a plan of 300 people on 4 zones",
        bound=1.01,
        run=bound_over_objective,
    ),
    Benchmark(
        name="replan",
        about="planning 60 people again after three no-shows ÷ the first plan",
        bound=1,
        run=replanning_over_planning,
    ),
    Benchmark(
        name="plan-growth",
        about="planning 120 people ÷ planning 60, in a table from 30 to 240",
        bound=8,
        run=growth_of_planning,
    ),
)


def _after_no_shows(day: Day) -> Day:
    """The day in the morning: its plan was told, and three people do not come."""
    plan = plan_day(day)
    away = {plan.units[0].members[0], plan.units[-1].members[0], plan.shore[0].volunteer}
    here = tuple(person for person in day.volunteers if person.id not in away)
    return replace(day, volunteers=here, told=told_of(plan))


def _printed_plan(text: str) -> str:
    day, warnings = day_from_json(read_json(text))
    return json.dumps(plan_as_json(plan_day(day), warnings))


def _bare_solve_seconds(text: str) -> float:
    day, _ = day_from_json(read_json(text))
    built = DayModel(day, eligibility.candidates(day))
    seconds = 0.0
    for aim in aims(built):
        (built.model.maximize if aim.maximise else built.model.minimize)(aim.value)
        solver = solver_for(EFFORT_PER_GOAL if aim.is_bounded else TIE_BREAK_EFFORT)
        seconds += timed(partial(solver.solve, built.model))
        held = int(solver.value(aim.value))
        built.model.add(aim.value >= held if aim.maximise else aim.value <= held)
        built.model.clear_hints()
        for index in range(len(built.model.proto.variables)):
            variable = built.model.get_int_var_from_proto_index(index)
            built.model.add_hint(variable, solver.value(variable))
    return seconds
