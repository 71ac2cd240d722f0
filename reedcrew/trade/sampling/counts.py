"""Counts and how they scatter: exact Poisson limits, clumping, the negative binomial."""

import math
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.distributions import gamma_quantile, gamma_tail, normal_quantile
from reedcrew.trade.effort import CONFIDENCE
from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sampling.moments import Moments

UNUSUAL = 0.05  # chance below which a scatter is called clumped or even (convention)


class Spread(StrEnum):
    """How the counts of quadrats scatter, compared with stems that stand at random."""

    CLUMPED = "clumped"
    RANDOM = "random"
    EVEN = "even"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Both ends of an interval, in the unit of what was counted."""

    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dispersion:
    """Variance over mean, its statistic, the chance of one as large if stems stood at random, and what that says."""

    index: float | None
    statistic: float | None
    p_clumped: float | None
    spread: Spread
    reasons: tuple[Reason, ...]


def poisson_limits(count: int, confidence: float = CONFIDENCE) -> Limits:
    """Exact limits of a Poisson mean after one count (Garwood): chi2(α/2; 2c)/2, 0 for c = 0; chi2(1 − α/2; 2c + 2)/2.

    Formula as shown by public calculators (graphpad.com, calculatorhub.com). Raises UnusableInput for a count outside
    0 to 100 million or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.range("count", count, 0, STEMS_MAX)
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    tail = (1 - confidence) / 2
    # chi2 with 2c degrees of freedom, halved, is gamma with shape c.
    low = gamma_quantile(count, tail) if count else 0.0
    return Limits(low=low, high=gamma_quantile(count + 1, 1 - tail))


def dispersion(sample: Moments) -> Dispersion:
    """Dispersion index: (n − 1) s² ÷ mean against chi2 with n − 1 degrees of freedom.

    Clumped below a chance of 0.05 for so much scatter, even below 0.05 for so little (convention). Unknown for one
    quadrat or where no stem was counted.
    """
    if sample.variance is None or not sample.mean:
        return Dispersion(
            index=None, statistic=None, p_clumped=None, spread=Spread.UNKNOWN, reasons=(reason("sampling.spread"),)
        )
    index = sample.variance / sample.mean
    statistic = (sample.n - 1) * index
    p_clumped = gamma_tail((sample.n - 1) / 2, statistic / 2)
    spread = Spread.RANDOM
    if p_clumped < UNUSUAL:
        spread = Spread.CLUMPED
    elif 1 - p_clumped < UNUSUAL:
        spread = Spread.EVEN
    return Dispersion(
        index=index,
        statistic=statistic,
        p_clumped=p_clumped,
        spread=spread,
        reasons=(reason(f"sampling.{spread.value}", index=round(index, 2)),),
    )


def negative_binomial_k(sample: Moments) -> float | None:
    """Moment estimate of k in variance = m + m²/k: (m² − s²/n) ÷ (s² − m).

    None where it says nothing: one quadrat, no more scatter than Poisson, or a mean lost in the scatter.
    """
    if sample.variance is None or sample.variance <= sample.mean:
        return None
    k = (sample.mean**2 - sample.variance / sample.n) / (sample.variance - sample.mean)
    return k if k > 0 else None


def chance_of_empty(mean: float, k: float) -> float:
    """Chance that a quadrat is empty: (k ÷ (k + m))^k of a negative binomial with mean m.

    Raises UnusableInput for a negative mean or k of 0 or less.
    """
    _check_mean_and_k(mean, k)
    return float((k / (k + mean)) ** k)


def clumped_mean_limits(mean: float, k: float, n: int, confidence: float = CONFIDENCE) -> Limits:
    """Limits of a mean count of n quadrats on the log scale: m × exp(±z sqrt(1/(n m) + 1/(n k))).

    Raises UnusableInput for a mean or k of 0 or less, fewer than one quadrat, or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.unless(mean > 0, "mean", f"must be above 0, not {mean:g}")
    faults.unless(k > 0, "k", f"must be above 0, not {k:g}")
    faults.unless(n >= 1, "n", f"must be 1 or more, not {n}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    factor = math.exp(normal_quantile((1 + confidence) / 2) * math.sqrt(1 / (n * mean) + 1 / (n * k)))
    return Limits(low=mean / factor, high=mean * factor)


def _check_mean_and_k(mean: float, k: float) -> None:
    faults = Faults()
    faults.unless(mean >= 0, "mean", f"must be 0 or more, not {mean:g}")
    faults.unless(k > 0, "k", f"must be above 0, not {k:g}")
    faults.raise_any()
