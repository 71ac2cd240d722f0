"""Stems cut and how fast: counts, bundles with a sample, and a work rate that learns from records."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import gammaincinv, stdtrit

from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.errors import Faults
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

CONFIDENCE = 0.95
SAMPLE_MIN = 2  # fewer bundles have no variance, so no interval may be claimed
STEMS_PER_BUNDLE_MAX = 5_000  # a hand-tied bundle; the traditional one holds 226 to 615 stems (computed)
BUNDLES_MAX = STEMS_MAX // STEMS_PER_BUNDLE_MAX
PERSON_HOURS_MAX = 1_000_000

PRIOR_PERSON_HOURS = 2.0  # evidence that a group's starting rate is worth (convention)
# Skilled people sweeping dry winter reed on firm ground reach 3 500 to 12 300 stems an hour (computed from trade
# figures): a rate above the lower end is no plausible one for live reed.
PLAUSIBLE_STEMS_PER_HOUR_MAX = 3_500


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


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRate:
    """Stems per person-hour with the limits of its interval, and the person-hours of records behind it."""

    stems_per_hour: float
    low: float
    high: float
    person_hours: float
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
        * float(stdtrit(n - 1, (1 + confidence) / 2))
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


def prior_rate(depth_cm: float, policy: Policy) -> float:
    """Stems per person-hour that a group starts from, in water or on dry land (convention:

    no published rate exists).
    """
    return policy.water_stems_per_hour if depth_cm > 0 else policy.land_stems_per_hour


def work_rate(stems: int, person_hours: float, prior_stems_per_hour: float) -> WorkRate:
    """Stems per person-hour learned from records: gamma-Poisson, the prior worth 2 person-hours (convention).

    Mean = (prior × 2 + stems) / (2 + person-hours), with the central 95 % interval. Counts of stems vary more than
    Poisson, so the interval is the narrowest that could be claimed. A caution above 3500 stems per person-hour.

    Raises UnusableInput for negative stems or hours, or a prior of 0 or less.
    """
    faults = Faults()
    faults.range("stems", stems, 0, STEMS_MAX)
    faults.range("person_hours", person_hours, 0, PERSON_HOURS_MAX, "h")
    faults.unless(prior_stems_per_hour > 0, "prior_stems_per_hour", f"must be above 0, not {prior_stems_per_hour:g}")
    faults.raise_any()
    shape = prior_stems_per_hour * PRIOR_PERSON_HOURS + stems
    hours = PRIOR_PERSON_HOURS + person_hours
    rate = shape / hours
    tail = (1 - CONFIDENCE) / 2
    reasons = [reason("effort.rate", hours=round(person_hours, 2), prior_hours=PRIOR_PERSON_HOURS)]
    if rate > PLAUSIBLE_STEMS_PER_HOUR_MAX:
        reasons.append(reason("effort.implausible", limit=PLAUSIBLE_STEMS_PER_HOUR_MAX))
    return WorkRate(
        stems_per_hour=rate,
        low=float(gammaincinv(shape, tail)) / hours,
        high=float(gammaincinv(shape, 1 - tail)) / hours,
        person_hours=person_hours,
        reasons=tuple(reasons),
    )


def expected_stems(stems_standing: int, people: int, hours: float, depth_cm: float, policy: Policy) -> int:
    """Stems that a crew may cut in a zone in a day: what stands there, at most people × hours × the group's rate.

    Rounded up. Raises UnusableInput for a negative number.
    """
    faults = Faults()
    faults.range("stems_standing", stems_standing, 0, STEMS_MAX)
    faults.unless(people >= 0, "people", f"must be 0 or more, not {people}")
    faults.range("hours", hours, 0, 24, "h")
    faults.raise_any()
    return min(stems_standing, math.ceil(people * hours * prior_rate(depth_cm, policy)))
