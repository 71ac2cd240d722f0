"""The command line of the benchmarks; the measurements themselves run on demand."""

import pytest

from tests.bench import __main__ as command
from tests.bench.measure import Benchmark, Outcome, in_turn, ratio_of


def fixed(ratio: float) -> dict[str, Benchmark]:
    outcome = Outcome(table=[("side", "s"), ("left", "1")], ratio=ratio)
    return {"fixed": Benchmark(name="fixed", about="a known ratio", bound=2, run=lambda: outcome)}


def test_every_benchmark_is_listed(capsys):
    assert command.main([], command.benchmarks()) == 0
    listed = capsys.readouterr().out
    assert "plan-large" in listed
    assert "plan " in listed


@pytest.mark.parametrize(("ratio", "status"), [(1.5, 0), (2, 0), (2.5, 1)])
def test_past_the_bound_the_exit_status_is_1(ratio: float, status: int, capsys):
    assert command.main(["fixed"], fixed(ratio)) == status
    assert capsys.readouterr().out.splitlines()[-1] == f"fixed: ratio {ratio:g} (bound 2)"


def test_a_name_that_is_no_benchmark_is_refused(capsys):
    assert command.main(["faster"], fixed(1)) == 2
    assert "fixed" in capsys.readouterr().err


def test_sides_run_in_turn_and_their_medians_are_compared():
    order: list[str] = []
    left, right = iter([9.0, 4.0, 100.0, 6.0]), iter([9.0, 2.0, 1.0, 3.0])

    def side(name: str, seconds: float) -> float:
        order.append(name)
        return seconds

    found = in_turn({"left": lambda: side("left", next(left)), "right": lambda: side("right", next(right))}, 3)
    assert order == ["left", "right"] * 4
    assert found == {"left": [4.0, 100.0, 6.0], "right": [2.0, 1.0, 3.0]}
    assert ratio_of(found, over="left", under="right").ratio == 3.0
