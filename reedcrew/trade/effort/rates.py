"""Stems per person-hour, in water and on dry land, learned from a group's closed days over a weak starting value."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.trade.distributions import gamma_quantile
from reedcrew.trade.effort.counting import CONFIDENCE
from reedcrew.trade.effort.spans import Span
from reedcrew.trade.errors import Faults
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

PERSON_HOURS_MAX = 1_000_000
PRIOR_PERSON_HOURS = 2.0  # evidence that a group's starting rate is worth (convention)
# Variance of a day's stems ÷ their mean before any record shows it, worth one day of records (convention). It gives the
# starting rate the weak interval of a gamma with shape 4: about 0.27 to 2.2 times the rate.
PRIOR_DISPERSION = 50.0
# Skilled people sweeping dry winter reed on firm ground reach 3 500 to 12 300 stems an hour (computed from trade
# figures): a rate above the lower end is no plausible one for live reed.
PLAUSIBLE_STEMS_PER_HOUR_MAX = 3_500


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRecord:
    """What one closed day cut on one side, in water or on land, and the person-hours of those who cut."""

    stems: int
    person_hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRate:
    """Stems per person-hour with the limits of its interval, and the person-hours and days of records behind it.

    ``dispersion`` is the variance of a day's stems ÷ their mean, by which the interval is widened; 1 is Poisson.
    """

    stems_per_hour: float
    low: float
    high: float
    person_hours: float
    days: int
    dispersion: float
    reasons: tuple[Reason, ...]

    @property
    def span(self) -> Span:
        return Span(value=self.stems_per_hour, low=self.low, high=self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """A group's rates by where the cutter stands: in water with hand sickle, cane cutter or spade; on dry land."""

    in_water: WorkRate
    on_land: WorkRate

    def at(self, depth_cm: float) -> WorkRate:
        """The rate in a zone of this depth today; 0 is dry land."""
        return self.in_water if depth_cm > 0 else self.on_land


def prior_rate(depth_cm: float, policy: Policy) -> float:
    """Stems per person-hour that a group starts from, in water or on dry land (convention:

    no published rate exists).
    """
    return policy.water_stems_per_hour if depth_cm > 0 else policy.land_stems_per_hour


def starting_rates(policy: Policy) -> Rates:
    """The rates of a group without any record."""
    return Rates(
        in_water=learned_rate((), policy.water_stems_per_hour), on_land=learned_rate((), policy.land_stems_per_hour)
    )


def work_rate(
    stems: int, person_hours: float, prior_stems_per_hour: float, *, days: int = 1, dispersion: float = 1.0
) -> WorkRate:
    """Stems per person-hour learned from records: gamma-Poisson, the prior worth 2 person-hours (convention).

    Mean = (prior × 2 + stems) / (2 + person-hours), with the central 95 % interval. Counts of stems vary more than
    Poisson: with a ``dispersion`` above 1 prior and records are worth so many times fewer stems, which leaves the mean
    and widens the interval by its square root (convention). A caution above 3500 stems per person-hour.

    Raises UnusableInput for negative stems, hours or days, a prior of 0 or less, or a dispersion below 1.
    """
    faults = Faults()
    faults.unless(stems >= 0, "stems", f"must be 0 or more, not {stems}")
    faults.range("person_hours", person_hours, 0, PERSON_HOURS_MAX, "h")
    faults.unless(prior_stems_per_hour > 0, "prior_stems_per_hour", f"must be above 0, not {prior_stems_per_hour:g}")
    faults.unless(days >= 0, "days", f"must be 0 or more, not {days}")
    faults.unless(1 <= dispersion < math.inf, "dispersion", f"must be 1 or more, not {dispersion:g}")
    faults.raise_any()
    shape = prior_stems_per_hour * PRIOR_PERSON_HOURS + stems
    hours = PRIOR_PERSON_HOURS + person_hours
    rate = shape / hours
    tail = (1 - CONFIDENCE) / 2
    reasons = [
        reason("effort.rate", hours=round(person_hours, 2), days=days, prior_hours=PRIOR_PERSON_HOURS)
        if person_hours
        else reason("effort.rate_start", rate=round(prior_stems_per_hour, 1))
    ]
    if dispersion > 1:
        reasons.append(reason("effort.dispersion", times=round(math.sqrt(dispersion), 1)))
    if rate > PLAUSIBLE_STEMS_PER_HOUR_MAX:
        reasons.append(reason("effort.implausible", limit=PLAUSIBLE_STEMS_PER_HOUR_MAX))
    return WorkRate(
        stems_per_hour=rate,
        low=gamma_quantile(shape / dispersion, tail) / hours * dispersion,
        high=gamma_quantile(shape / dispersion, 1 - tail) / hours * dispersion,
        person_hours=person_hours,
        days=days,
        dispersion=dispersion,
        reasons=tuple(reasons),
    )


def learned_rate(records: Sequence[DayRecord], prior_stems_per_hour: float) -> WorkRate:
    """The rate that closed days show, one record a day, its interval widened by how much the days differ.

    The dispersion is the days' chi-square around their common rate, with the starting dispersion of 50 counted as one
    day more: (50 + chi²) / days, at least 1. It is the Pearson estimate chi² / (days − 1), drawn to the start while
    days are few. Days without person-hours are left out: nobody knows how long that work took.

    Raises what work_rate raises.
    """
    known = [each for each in records if each.person_hours > 0]
    stems = sum(each.stems for each in known)
    person_hours = sum(each.person_hours for each in known)
    expected = [each.person_hours * stems / person_hours for each in known]
    chi2 = sum((each.stems - due) ** 2 / due for each, due in zip(known, expected, strict=True) if due > 0)
    return work_rate(
        stems,
        person_hours,
        prior_stems_per_hour,
        days=len(known),
        dispersion=max(1.0, (PRIOR_DISPERSION + chi2) / max(1, len(known))),
    )
