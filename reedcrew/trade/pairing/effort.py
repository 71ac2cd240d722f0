"""How much work the search for one plan may take: counted, never timed, so the same day gets the same plan anywhere."""

from ortools.sat.python import cp_model

# The whole plan's effort in the solver's own units, about a second each on a fast core. A roster of 400 needs about 22;
# one of 1000 ends here, with a plan that says how far from proven it is.
EFFORT_OF_PLAN = 30.0
# What making a model costs, for each of its variables: measured once, so that many small rounds end as well.
EFFORT_PER_VARIABLE = 3e-5


class Effort:
    """The effort that is left for one plan. ``per_goal`` is the most that one search of it may take."""

    def __init__(self, per_goal: float, whole: float = EFFORT_OF_PLAN) -> None:
        self.per_goal = per_goal
        self.left = whole

    def solve(self, model: cp_model.CpModel, most: float) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
        """Search with at most so much effort, and no more than half of what is left: a later search needs some, too."""
        self.left -= len(model.proto.variables) * EFFORT_PER_VARIABLE
        solver = solver_for(max(0.0, min(most, self.left / 2)))
        status = solver.solve(model)
        self.left -= solver.response_proto.deterministic_time
        return solver, status


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
