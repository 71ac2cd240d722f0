"""How many quadrats: for a wanted precision, for a change that should be noticed, and how to share them among zones."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.distributions import gamma_quantile, normal_quantile, t_quantile
from reedcrew.trade.effort import CONFIDENCE
from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sampling.estimates import satterthwaite_df

LEAST = 2  # quadrats of a zone: fewer have no variance
ASSURANCE = 0.90  # chance that the interval is no wider than wanted (Kupper and Hafner 1989)
_MOST = 10**9  # what a search may reach; no zone holds more quadrats


class Allocation(StrEnum):
    """How quadrats are shared among zones."""

    PROPORTIONAL = "by area"
    NEYMAN = "by area and scatter"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStratum:
    """A zone that shall be sampled: its size in quadrats, and the standard deviation of a quadrat's count there."""

    name: str
    units: float
    sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SizePlan:
    """Quadrats in all and zone by zone, in the order given, with the half-width that they should reach, and why."""

    n: int
    shares: tuple[tuple[str, int], ...]
    half_width: float
    reasons: tuple[Reason, ...]


def raw_size(quantile: float, sd: float, half_width: float) -> float:
    """(t s ÷ d)²: quadrats for a half-width d with a given quantile t or z, before any rounding.

    General form as in teaching texts (oak.snr.missouri.edu). ``sd`` and ``half_width`` are in one unit. Raises
    UnusableInput for a quantile or half-width of 0 or less or a negative sd.
    """
    faults = Faults()
    faults.unless(0 < quantile < math.inf, "quantile", f"must be above 0, not {quantile:g}")
    _fault_sd_and_half_width(faults, sd, half_width)
    faults.raise_any()
    return (quantile * sd / half_width) ** 2


def sample_size(sd: float, half_width: float, *, units: float | None = None, confidence: float = CONFIDENCE) -> int:
    """The fewest quadrats, at least 2, whose t-interval of the mean is expected to be no wider than ± half_width.

    n ≥ 1 ÷ (d² ÷ (t² s²) + 1/N), Freese's finite form, t with n − 1 degrees of freedom: the number at which iterating
    t stops. ``units`` is N, None for an area without end. Never more than N, rounded up: then all is counted.

    Raises UnusableInput for a negative sd, a half-width or units of 0 or less, or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    _fault_sd_and_half_width(faults, sd, half_width)
    faults.unless(units is None or 0 < units < math.inf, "units", f"must be above 0, not {units}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    all_of_it = _MOST if units is None else max(1, math.ceil(units))

    def enough(n: int) -> bool:
        needed = raw_size(t_quantile(n - 1, (1 + confidence) / 2), sd, half_width)
        return n >= needed / (1 + needed / units if units else 1)

    return all_of_it if all_of_it <= LEAST else _fewest(enough, LEAST, all_of_it)


def elzinga_size(sd: float, half_width: float, *, units: float | None = None, confidence: float = CONFIDENCE) -> int:
    """Quadrats for a mean by Elzinga, Salzer and Willoughby (BLM Technical Reference 1730-1, 1998; from memory):

    n = z² s² ÷ B², rounded up, enlarged by the correction of Kupper and Hafner, then n' = n ÷ (1 + n/N), rounded up.
    With 90 % assurance the interval is no wider than wanted, so that it asks for more than sample_size. Raises as
    sample_size.
    """
    faults = Faults()
    _fault_sd_and_half_width(faults, sd, half_width)
    faults.unless(units is None or 0 < units < math.inf, "units", f"must be above 0, not {units}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    plain = max(1, math.ceil(raw_size(normal_quantile((1 + confidence) / 2), sd, half_width)))
    enlarged = kupper_hafner(plain, confidence)
    return math.ceil(enlarged / (1 + enlarged / units)) if units else enlarged


def kupper_hafner(n: int, confidence: float = CONFIDENCE) -> int:
    """The corrected sample size for an uncorrected one (Kupper and Hafner 1989), with an assurance of 0.90:

    the smallest n* with n* (n* − 1) ≥ n × chi2(0.90; n* − 1) × F(confidence; 1, n* − 1) ÷ chi2(confidence; 1). Formula
    from a public teaching notebook; the printed table was not seen.

    Raises UnusableInput for n outside 1 to 1 million or a confidence outside 0.5 to 0.999.
    """
    faults = Faults()
    faults.range("n", n, 1, 10**6)
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    tail = (1 + confidence) / 2
    z_squared = normal_quantile(tail) ** 2  # chi2 with one degree of freedom

    def enough(larger: int) -> bool:
        df = larger - 1
        chi2 = 2 * gamma_quantile(df / 2, ASSURANCE)
        f_quantile = t_quantile(df, tail) ** 2  # F with 1 and df degrees of freedom
        return larger * df >= n * chi2 * f_quantile / z_squared

    return _fewest(enough, LEAST, _MOST)


def change_size(variance: float, z_alpha: float, z_beta: float, change: float) -> float:
    """variance × (z_alpha + z_beta)² ÷ change²: quadrats that notice a change, before any rounding.

    Elzinga, Salzer and Willoughby (1998), from memory. Raises UnusableInput for a negative variance, a change of 0 or
    less, or quantiles that do not add up to more than 0.
    """
    faults = Faults()
    faults.unless(0 <= variance < math.inf, "variance", f"must be 0 or more, not {variance:g}")
    faults.unless(0 < change < math.inf, "change", f"must be above 0, not {change:g}")
    faults.unless(0 < z_alpha + z_beta < math.inf, "z_alpha", "must add up to more than 0 with z_beta")
    faults.raise_any()
    return variance * (z_alpha + z_beta) ** 2 / change**2


def temporary_quadrats_to_detect(
    sd: float, change: float, *, confidence: float = 0.90, power: float = 0.90, units: float | None = None
) -> int:
    """Quadrats in each of two years, placed anew each year, that notice a change of the mean: 2 s² (zα + zβ)² ÷ MDC².

    ``confidence`` is two-sided, ``power`` is the chance to notice. Then n ÷ (1 + n/N). Raises as change_size, and for a
    confidence or power outside 0.5 to 0.999.
    """
    return _to_detect(2 * sd**2, change, confidence, power, units)


def permanent_quadrats_to_detect(
    sd_of_differences: float,
    change: float,
    *,
    confidence: float = 0.90,
    power: float = 0.90,
    units: float | None = None,
) -> int:
    """Quadrats that stay in place and notice a change of the mean: s² of the differences × (zα + zβ)² ÷ MDC².

    Raises as temporary_quadrats_to_detect.
    """
    return _to_detect(sd_of_differences**2, change, confidence, power, units)


def stratified_size(
    strata: Sequence[PlannedStratum],
    half_width: float,
    *,
    allocation: Allocation = Allocation.PROPORTIONAL,
    confidence: float = CONFIDENCE,
) -> SizePlan:
    """The fewest quadrats whose stratified total is expected to lie within ± half_width (in stems), and their shares.

    Shares by area (n N_h ÷ ΣN_h) or by area and scatter (Neyman: n N_h s_h ÷ ΣN_h s_h), whole, at least 2 a zone and
    never more than it holds; for each number the half-width is that of stratified_total with the scatter given, so
    that for one zone this is sample_size.

    Raises UnusableInput for no stratum, a size or half-width of 0 or less, a negative sd, or a confidence outside 0.5
    to 0.999.
    """
    faults = Faults()
    faults.unless(len(strata) > 0, "strata", "must have at least one zone")
    for position, each in enumerate(strata):
        faults.unless(0 < each.units < math.inf, f"strata[{position}].units", f"must be above 0, not {each.units:g}")
        faults.unless(0 <= each.sd < math.inf, f"strata[{position}].sd", f"must be 0 or more, not {each.sd:g}")
    faults.unless(0 < half_width < math.inf, "half_width", f"must be above 0, not {half_width:g}")
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.raise_any()
    most = [max(1, math.ceil(each.units)) for each in strata]
    least = [min(LEAST, largest) for largest in most]
    weights = [each.units * (each.sd if allocation is Allocation.NEYMAN else 1) for each in strata]
    if not any(weights):
        weights = [each.units for each in strata]

    def reached(n: int) -> float:
        return _expected_half_width(strata, _shares(n, weights, least, most), confidence)

    n = _fewest(lambda tried: reached(tried) <= half_width, sum(least), sum(most))
    shares = _shares(n, weights, least, most)
    return SizePlan(
        n=n,
        shares=tuple((each.name, share) for each, share in zip(strata, shares, strict=True)),
        half_width=_expected_half_width(strata, shares, confidence),
        reasons=(reason(f"sampling.size_{allocation.name.lower()}", n=n, percent=round(confidence * 100, 1)),),
    )


def _fault_sd_and_half_width(faults: Faults, sd: float, half_width: float) -> None:
    faults.unless(0 <= sd < math.inf, "sd", f"must be 0 or more, not {sd:g}")
    faults.unless(0 < half_width < math.inf, "half_width", f"must be above 0, not {half_width:g}")


def _to_detect(variance: float, change: float, confidence: float, power: float, units: float | None) -> int:
    faults = Faults()
    faults.range("confidence", confidence, 0.5, 0.999)
    faults.range("power", power, 0.5, 0.999)
    faults.unless(units is None or 0 < units < math.inf, "units", f"must be above 0, not {units}")
    faults.raise_any()
    n = change_size(variance, normal_quantile((1 + confidence) / 2), normal_quantile(power), change)
    return max(LEAST, math.ceil(n / (1 + n / units) if units else n))


def _fewest(enough: Callable[[int], bool], least: int, most: int) -> int:
    """The smallest number from least to most that is enough; most where none is. More is never worse than fewer."""
    low, high = least, least
    while high < most and not enough(high):
        low, high = high + 1, min(most, high * 2)
    while low < high:
        middle = (low + high) // 2
        if enough(middle):
            high = middle
        else:
            low = middle + 1
    return low


def _shares(n: int, weights: Sequence[float], least: Sequence[int], most: Sequence[int]) -> list[int]:
    """Whole shares of n by weight, each from its least to its most; n lies between the sums of both."""
    open_ones = set(range(len(weights)))
    given = [0] * len(weights)
    while open_ones:
        left = n - sum(given)
        weight = math.fsum(weights[each] for each in open_ones)
        wanted = {each: left * weights[each] / weight if weight else 0.0 for each in open_ones}
        # Those under their least first: what they are given more is taken from the others, who may then fit.
        outside = {each: least[each] for each in open_ones if wanted[each] < least[each]}
        outside = outside or {each: most[each] for each in open_ones if wanted[each] > most[each]}
        if not outside:
            break
        for each, share in outside.items():
            given[each] = share
        open_ones -= outside.keys()
    else:
        return _made_up(n, given, most)
    for each in open_ones:
        given[each] = math.floor(wanted[each])
    # Largest remainders first; ties in the order of the zones.
    for each in sorted(open_ones, key=lambda each: (given[each] - wanted[each], each)):
        if sum(given) < n:
            given[each] += 1
    return given


def _made_up(n: int, given: list[int], most: Sequence[int]) -> list[int]:
    """Every share met a bound: what is left goes to the first zones that hold more."""
    for each, largest in enumerate(most):
        given[each] += max(0, min(n - sum(given), largest - given[each]))
    return given


def _expected_half_width(strata: Sequence[PlannedStratum], shares: Sequence[int], confidence: float) -> float:
    variances = [
        (each.units * each.sd) ** 2 / share * max(0.0, 1 - share / each.units)
        for each, share in zip(strata, shares, strict=True)
    ]
    df = satterthwaite_df((variance, max(share - 1, 1)) for variance, share in zip(variances, shares, strict=True))
    if df is None:
        return 0.0
    return t_quantile(df, (1 + confidence) / 2) * math.sqrt(math.fsum(variances))
