"""What a sample is reduced to before anything is estimated: number, mean, variance, sum."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from reedcrew.trade.errors import Faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Moments:
    """Number of quadrats, mean and variance (n − 1) of their counts, and the sum that was counted.

    ``variance`` is None for one quadrat alone: nothing is known then of how much quadrats differ.
    """

    n: int
    mean: float
    variance: float | None
    total: float

    @property
    def sd(self) -> float | None:
        """Standard deviation of one quadrat's count, None where the variance is."""
        return None if self.variance is None else math.sqrt(self.variance)


def moments(values: Sequence[float]) -> Moments:
    """The moments of some values, 0 or more each, at least one.

    Raises UnusableInput naming every value that is negative or no number, and for an empty sample.
    """
    faults = Faults()
    faults.unless(len(values) > 0, "values", "must have at least one quadrat")
    for position, value in enumerate(values):
        faults.unless(math.isfinite(value) and value >= 0, f"values[{position}]", f"must be 0 or more, not {value:g}")
    faults.raise_any()
    exact = [Fraction(value) for value in values]
    return _exact(len(exact), sum(exact, Fraction(0)), sum((value * value for value in exact), Fraction(0)))


def moments_of_sums(n: int, total: int, squares: int) -> Moments:
    """The moments from the number of counts, their sum and the sum of their squares, as a database adds them up.

    Raises UnusableInput for fewer than one count, a negative sum, or squares too small for any counts of that sum.
    """
    faults = Faults()
    faults.unless(n >= 1, "n", f"must be 1 or more, not {n}")
    faults.unless(total >= 0, "total", f"must be 0 or more, not {total}")
    faults.unless(n * squares >= total * total, "squares", f"must be at least total² ÷ n, not {squares}")
    faults.raise_any()
    return _exact(n, Fraction(total), Fraction(squares))


def _exact(n: int, total: Fraction, squares: Fraction) -> Moments:
    # Fractions: a difference of two large squares would lose its last digits otherwise.
    return Moments(
        n=n,
        mean=float(total / n),
        variance=float((squares - total * total / n) / (n - 1)) if n > 1 else None,
        total=float(total),
    )
