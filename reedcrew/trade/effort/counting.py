"""Stems cut: counts, and bundles with a sample."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.distributions import t_quantile
from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason

CONFIDENCE = 0.95
SAMPLE_MIN = 2  # fewer bundles have no variance, so no interval may be claimed
STEMS_PER_BUNDLE_MAX = 5_000  # a hand-tied bundle; the traditional one holds 226 to 615 stems (computed)
BUNDLES_MAX = STEMS_MAX // STEMS_PER_BUNDLE_MAX


class Counted(StrEnum):
    """How a number of stems is known; the record keeps which."""

    COUNTED = "counted"
    BUNDLES = "bundles and a sample"


@dataclass(frozen=True, slots=True, kw_only=True)
class StemTally:
    """Stems cut, with the limits of the interval where one may be claimed (else None), how it is known, and why."""

    stems: int
    low: int | None
    high: int | None
    how: Counted
    reasons: tuple[Reason, ...]


def counted(stems: int) -> StemTally:
    """Stems counted one by one. Raises UnusableInput for fewer than 0 or more than 100 million."""
    faults = Faults()
    faults.range("stems", stems, 0, STEMS_MAX)
    faults.raise_any()
    return StemTally(stems=stems, low=None, high=None, how=Counted.COUNTED, reasons=(reason("effort.counted"),))


def from_bundles(bundles: int, sample: Sequence[int], confidence: float = CONFIDENCE) -> StemTally:
    """Stems = bundles × mean stems of the sampled bundles, with a t-interval from 2 sampled bundles on.

    The sample is drawn without replacement from the bundles, so the standard error has the finite correction
    sqrt(s²/n × (1 − n/N)) of Freese, Elementary Forest Sampling (USDA Handbook 232, 1962). All bundles counted leave no
    uncertainty. A lower limit below the stems already counted in the sample is raised to them.

    Raises UnusableInput, naming every faulty field: fewer bundles than sampled, no sample, a sampled bundle outside 1
    to 5000 stems, a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.range("bundles", bundles, 1, BUNDLES_MAX)
    faults.unless(
        1 <= len(sample) <= max(bundles, 1), "sample", "must have at least one and at most all of the bundles"
    )
    for position, stems in enumerate(sample):
        faults.range(f"sample[{position}]", stems, 1, STEMS_PER_BUNDLE_MAX, "stems")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()

    n, mean = len(sample), statistics.fmean(sample)
    stems = round(bundles * mean)
    if n < SAMPLE_MIN:
        because = reason("effort.one_bundle", bundles=bundles, mean=round(mean, 1))
        return StemTally(stems=stems, low=None, high=None, how=Counted.BUNDLES, reasons=(because,))
    half_width = (
        bundles
        * t_quantile(n - 1, (1 + confidence) / 2)
        * math.sqrt(statistics.variance(sample) / n * (1 - n / bundles))
    )
    return StemTally(
        stems=stems,
        low=max(sum(sample), math.floor(bundles * mean - half_width)),
        high=math.ceil(bundles * mean + half_width),
        how=Counted.BUNDLES,
        reasons=(
            reason(
                "effort.sample", bundles=bundles, sampled=n, mean=round(mean, 1), percent=round(confidence * 100, 1)
            ),
        ),
    )


def together(tallies: Sequence[tuple[int, int | None, int | None]]) -> tuple[int, int, int]:
    """Stems of several tallies and the limits of their sum, from (stems, low, high) of each; no limits mean none.

    The tallies are independent, so that their half-widths add in quadrature (method of variance estimates recovery,
    from memory).
    """
    stems = sum(each for each, _, _ in tallies)
    below = math.hypot(*(each - low for each, low, _ in tallies if low is not None))
    above = math.hypot(*(high - each for each, _, high in tallies if high is not None))
    return stems, max(0, math.floor(stems - below)), math.ceil(stems + above)
