"""Densities and totals from quadrats, with their intervals.

Freese, Elementary Forest Sampling (USDA Agriculture Handbook 232, 1962) for one area; zones as strata for a stand, with
Satterthwaite's degrees of freedom (Cochran, Sampling Techniques, 1977; form from memory, checked by worked examples).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from reedcrew.trade.distributions import normal_quantile, t_quantile
from reedcrew.trade.effort import CONFIDENCE
from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sampling.counts import poisson_limits
from reedcrew.trade.sampling.moments import Moments

QUADRAT_M2_MIN, QUADRAT_M2_MAX = 0.01, 100  # 10 cm × 10 cm to 10 m × 10 m (convention)
AREA_M2_MAX = 10**10
# Above it a count is doubted, not refused (convention). Dense stands have some hundred live stems on a square metre.
PLAUSIBLE_STEMS_PER_M2_MAX = 1_000
ROUNDING = 0.001  # areas are kept to 0.1 m²: a share of the area within this of 1 is all of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A number with its standard error, degrees of freedom and limits; None where none may be claimed; and why."""

    value: float
    se: float | None
    df: float | None
    low: float | None
    high: float | None
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stratum:
    """A part of the whole: its name, its size in quadrats (N, not always whole), and what its sample gave."""

    name: str
    units: float
    sample: Moments


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneSample:
    """Quadrats of one size counted in one zone. ``area_m2`` is None where the zone has no outline."""

    name: str
    area_m2: float | None
    quadrat_m2: float
    sample: Moments

    @property
    def units(self) -> float | None:
        """How many quadrats the zone would hold."""
        return None if self.area_m2 is None else self.area_m2 / self.quadrat_m2


@dataclass(frozen=True, slots=True, kw_only=True)
class StratumTotal:
    """One stratum's share of a total."""

    name: str
    estimate: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class StratifiedTotal:
    """The total over all strata. ``without_interval`` names the strata that leave it without one."""

    estimate: Estimate
    parts: tuple[StratumTotal, ...]
    without_interval: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """A later number as a share of an earlier one, with limits where they may be claimed."""

    ratio: float
    low: float | None
    high: float | None
    reasons: tuple[Reason, ...]


def standard_error(sample: Moments, units: float | None) -> float | None:
    """Standard error of the mean of quadrats drawn without replacement: sqrt(s²/n × (1 − n/N)), in the counts' unit.

    ``units`` is N, or None for an area of unknown size (no finite correction). 0 where all was counted. None where
    nothing may be claimed: one quadrat of several, or quadrats that cover more than there is.
    """
    if units is not None and sample.n > units * (1 + ROUNDING):
        return None
    if units is not None and sample.n >= units * (1 - ROUNDING):
        return 0.0
    if sample.variance is None:
        return None
    return math.sqrt(sample.variance / sample.n * (1 - sample.n / units if units else 1))


def sample_mean(sample: Moments, *, units: float | None = None, confidence: float = CONFIDENCE) -> Estimate:
    """Mean count of a quadrat with its t-interval (Freese). ``units`` is N, the number of quadrats in the whole area.

    The lower limit is never below what was counted. Where no quadrat had a stem, the upper limit is the exact Poisson
    one of the part that was not counted; scatter of 0 says nothing else.

    Raises UnusableInput for ``units`` of 0 or less or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.unless(units is None or 0 < units < math.inf, "units", f"must be above 0, not {units}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    se = standard_error(sample, units)
    unseen = 1.0 if units is None else 1 - sample.n / units
    floor = 0.0 if units is None else sample.total / units
    if se is None:
        over = units is not None and sample.n > units
        because = reason("sampling.covers_more") if over else reason("sampling.one")
        return Estimate(value=sample.mean, se=None, df=None, low=None, high=None, reasons=(because,))
    if units is not None and unseen <= ROUNDING:
        everything = (reason("sampling.all", n=sample.n),)
        return Estimate(value=sample.mean, se=0.0, df=None, low=sample.mean, high=sample.mean, reasons=everything)
    df = sample.n - 1
    reasons = [_method(sample.n, df, unseen, units, confidence)]
    half_width = t_quantile(df, (1 + confidence) / 2) * se
    low, high = max(0.0, sample.mean - half_width), sample.mean + half_width
    if not sample.total:
        high = poisson_limits(0, confidence).high / sample.n * unseen
        reasons = [reason("sampling.none_seen", n=sample.n, percent=_percent(confidence))]
    elif not sample.variance:
        reasons.append(reason("sampling.no_spread"))
    if low < floor:
        low = floor
        reasons.append(reason("sampling.raised"))
    return Estimate(value=sample.mean, se=se, df=float(df), low=low, high=high, reasons=tuple(reasons))


def sample_total(sample: Moments, *, units: float, confidence: float = CONFIDENCE) -> Estimate:
    """Total of an area of ``units`` quadrats: N × mean, with the limits of the mean. Raises as sample_mean."""
    return _scaled(sample_mean(sample, units=units, confidence=confidence), units)


def zone_density(zone: ZoneSample, confidence: float = CONFIDENCE) -> Estimate:
    """Stems per m² in a zone with standard error and interval: mean of the counts ÷ quadrat size.

    A caution above 1000 stems/m² (convention). Raises UnusableInput for an area of 0 m² or less, a quadrat outside
    0.01 to 100 m², or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    if zone.area_m2 is not None:
        faults.unless(0 < zone.area_m2 <= AREA_M2_MAX, "area_m2", f"must be above 0 m², not {zone.area_m2:g}")
    faults.range("quadrat_m2", zone.quadrat_m2, QUADRAT_M2_MIN, QUADRAT_M2_MAX, "m²")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    found = _scaled(sample_mean(zone.sample, units=zone.units, confidence=confidence), 1 / zone.quadrat_m2)
    if found.value <= PLAUSIBLE_STEMS_PER_M2_MAX:
        return found
    doubt = reason("sampling.dense", limit=PLAUSIBLE_STEMS_PER_M2_MAX)
    return replace(found, reasons=(*found.reasons, doubt))


def zone_total(zone: ZoneSample, confidence: float = CONFIDENCE) -> Estimate:
    """Stems in a zone: area × density, with its limits. Raises as zone_density, and for a zone without an area."""
    faults = Faults()
    faults.unless(zone.area_m2 is not None, "area_m2", "must be known for a total")
    faults.raise_any()
    return _scaled(zone_density(zone, confidence), zone.area_m2 or 0.0)


def stratified_total(strata: Sequence[Stratum], confidence: float = CONFIDENCE) -> StratifiedTotal:
    """Total over strata: Σ N_h × mean_h; g_h = (N_h × s.e. of mean_h)²; s.e. = sqrt(Σ g_h); Student's t.

    Degrees of freedom (Satterthwaite) = (Σ g_h)² ÷ Σ (g_h² ÷ (n_h − 1)). A stratum with one quadrat of several leaves
    the total without an interval; one that was counted whole adds no uncertainty. The lower limit is never below what
    was counted. Without any scatter the limits are the sums of the strata's own.

    Raises UnusableInput for no stratum, a size of 0 or less, or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.unless(len(strata) > 0, "strata", "must have at least one zone with quadrats")
    for position, each in enumerate(strata):
        faults.unless(0 < each.units < math.inf, f"strata[{position}].units", f"must be above 0, not {each.units:g}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    parts = tuple(
        StratumTotal(name=each.name, estimate=sample_total(each.sample, units=each.units, confidence=confidence))
        for each in strata
    )
    value = math.fsum(part.estimate.value for part in parts)
    missing = tuple(part.name for part in parts if part.estimate.se is None)
    if missing:
        because = (reason("sampling.no_interval", names=", ".join(missing)),)
        whole = Estimate(value=value, se=None, df=None, low=None, high=None, reasons=because)
    elif len(parts) == 1:
        whole = parts[0].estimate
    else:
        whole = _combined(parts, value, math.fsum(each.sample.total for each in strata), confidence)
    return StratifiedTotal(estimate=whole, parts=parts, without_interval=missing)


def satterthwaite_df(shares: Iterable[tuple[float, float]]) -> float | None:
    """Degrees of freedom of a sum of variances: (Σ g)² ÷ Σ (g² ÷ df), over pairs of g and its own df.

    Pairs with g = 0 add nothing; None where there is no other.
    """
    scattered = [(g, df) for g, df in shares if g > 0]
    if not scattered:
        return None
    # Shares of the largest: squares of totals of millions of stems stay within what a float holds.
    largest = max(g for g, _ in scattered)
    return math.fsum(g / largest for g, _ in scattered) ** 2 / math.fsum((g / largest) ** 2 / df for g, df in scattered)


def ratio_of_totals(
    earlier: float, earlier_se: float | None, later: float, later_se: float | None, confidence: float = CONFIDENCE
) -> Ratio:
    """Later ÷ earlier of two independent estimates, with limits on the log scale:

    ratio × exp(±z sqrt((se1/T1)² + (se2/T2)²)), z of the normal distribution. No limits where a standard error is
    unknown or nothing was found later.

    Raises UnusableInput for an earlier number of 0 or less, a negative number, or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.unless(0 < earlier < math.inf, "earlier", f"must be above 0, not {earlier:g}")
    faults.unless(0 <= later < math.inf, "later", f"must be 0 or more, not {later:g}")
    for where, se in (("earlier_se", earlier_se), ("later_se", later_se)):
        faults.unless(se is None or 0 <= se < math.inf, where, f"must be 0 or more, not {se}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    ratio = later / earlier
    if earlier_se is None or later_se is None or not later:
        return Ratio(ratio=ratio, low=None, high=None, reasons=(reason("sampling.ratio_alone"),))
    spread = math.hypot(earlier_se / earlier, later_se / later)
    factor = math.exp(normal_quantile((1 + confidence) / 2) * spread)
    because = reason("sampling.ratio", percent=_percent(confidence))
    return Ratio(ratio=ratio, low=ratio / factor, high=ratio * factor, reasons=(because,))


def _combined(parts: Sequence[StratumTotal], value: float, counted: float, confidence: float) -> Estimate:
    shares = [((part.estimate.se or 0.0) ** 2, part.estimate.df or 0.0) for part in parts]
    df = satterthwaite_df(shares)
    if df is None:
        return Estimate(
            value=value,
            se=0.0,
            df=None,
            low=math.fsum(part.estimate.low or 0.0 for part in parts),
            high=math.fsum(part.estimate.high or 0.0 for part in parts),
            reasons=(reason("sampling.summed", zones=len(parts)),),
        )
    se = math.sqrt(math.fsum(g for g, _ in shares))
    half_width = t_quantile(df, (1 + confidence) / 2) * se
    reasons = [reason("sampling.stratified", zones=len(parts), percent=_percent(confidence), df=round(df, 1))]
    low = value - half_width
    if low < counted:
        low = counted
        reasons.append(reason("sampling.raised"))
    empty = [part.name for part in parts if not part.estimate.value]
    if empty:
        reasons.append(reason("sampling.empty_zones", names=", ".join(empty)))
    return Estimate(value=value, se=se, df=df, low=low, high=value + half_width, reasons=tuple(reasons))


def _method(n: int, df: int, unseen: float, units: float | None, confidence: float) -> Reason:
    if units is None:
        return reason("sampling.t", n=n, df=df, percent=_percent(confidence))
    share = max(round(100 * (1 - unseen), 1), 0.1)
    return reason("sampling.t_finite", n=n, df=df, percent=_percent(confidence), share=share)


def _scaled(found: Estimate, factor: float) -> Estimate:
    def times(value: float | None) -> float | None:
        return None if value is None else value * factor

    return Estimate(
        value=found.value * factor,
        se=times(found.se),
        df=found.df,
        low=times(found.low),
        high=times(found.high),
        reasons=found.reasons,
    )


def _percent(confidence: float) -> float:
    return round(confidence * 100, 1)
