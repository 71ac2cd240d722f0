"""What a benchmark is, and how two sides of a ratio are timed."""

import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What was measured: lines of a table, the first of which is its head, and the ratio to judge."""

    table: Sequence[Sequence[str]]
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Benchmark:
    """One measurement. ``about`` says in a line what is divided by what; a ratio over ``bound`` fails."""

    name: str
    about: str
    bound: float
    run: Callable[[], Outcome]


def timed(work: Callable[[], object]) -> float:
    """Seconds that the work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def in_turn(sides: Mapping[str, Callable[[], float]], times: int) -> dict[str, list[float]]:
    """Runs each side so many times, one after the other in every round, and keeps the seconds that each call returns.

    A first round, which warms both sides up, is not kept.
    """
    found: dict[str, list[float]] = {name: [] for name in sides}
    for turn in range(times + 1):
        for name, side in sides.items():
            seconds = side()
            if turn:
                found[name].append(seconds)
    return found


def ratio_of(seconds: Mapping[str, Sequence[float]], over: str, under: str) -> Outcome:
    """The ratio of two sides' medians, with a line for each side."""
    table: list[Sequence[str]] = [("side", "runs", "median s", "least s", "most s")]
    table += [
        (name, str(len(each)), *(f"{value:.3f}" for value in (statistics.median(each), min(each), max(each))))
        for name, each in seconds.items()
    ]
    return Outcome(table=table, ratio=statistics.median(seconds[over]) / statistics.median(seconds[under]))
