"""How fast a stand declines, from its own surveys, and the year in which it should be down to a group's threshold.

The line is fitted to the logarithm of survey totals, because cutting takes a share of what stands each year. Numbers of
published trials are those of reed-and-sampling.md, section 3.
"""

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.distributions import normal_quantile, t_quantile
from reedcrew.trade.effort.counting import CONFIDENCE
from reedcrew.trade.effort.spans import Span
from reedcrew.trade.errors import Faults
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.treatment import CLEAR_YEARS

SURVEYS_MIN = 2  # fewer have no slope
DAYS_PER_YEAR = 365.25
YEARS_AHEAD = 20  # farther no line is followed (convention)
RELATIVE_SE_MIN = 0.01  # a full count misses some stems too (convention); it also bounds the weights
SEASON_DAYS_MAX = 60  # surveys farther apart in their years compare a spring with an autumn (convention)
APART_DAYS_MIN = 90  # surveys closer than that, as of one winter, show one season and tell no yearly pace (convention)
FACTOR_DECIMALS = 3  # of a yearly factor; what they cannot tell from 1 is no decline (convention)
LOG_MAX = 300.0  # limits that reach so far say nothing and must not overflow
FACTOR_LOW, FACTOR_HIGH = 0.05, 1.2  # a yearly factor outside deserves a caution (convention)


class Course(StrEnum):
    """What the surveys say of a stand."""

    TOO_FEW = "too few surveys"
    NOT_DECLINING = "not declining"
    DECLINING = "declining"
    BELOW = "below the threshold"
    CLEAR = "no stem seen"


class Pace(StrEnum):
    """A stand's yearly factor beside that of published trials."""

    INSIDE = "inside"
    SLOWER = "slower"
    FASTER = "faster"


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """Stems next year ÷ stems this year, same month of both, in published trials of one way to cut."""

    code: str
    in_water: bool
    low: float
    high: float


PUBLISHED = (
    # Bickford and others (2026, J. Great Lakes Research): 1 to 8 % left after two seasons; square roots, computed.
    Published(code="decline.published_water", in_water=True, low=0.10, high=0.28),
    # Derr (2008): 0.45 when mown all season; cut once up to 1.2 (Greet and Rees 2015 and others; a convention).
    Published(code="decline.published_land", in_water=False, low=0.45, high=1.2),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyTotal:
    """Stems of a whole stand at one survey, with their standard error where it is known, else None."""

    on: datetime.date
    stems: float
    se: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through log stems over years since ``start``. ``width`` scales its limits; None where none are claimed."""

    start: datetime.date
    mean_years: float
    mean_log: float
    slope: float
    weight: float
    spread: float
    width: float | None

    def at(self, day: datetime.date) -> Span:
        """Stems on a day, with the limits of the line (its value, where no limits are claimed)."""
        years = years_between(self.start, day)
        log = self.mean_log + self.slope * (years - self.mean_years)
        half = (self.width or 0) * math.sqrt(1 / self.weight + (years - self.mean_years) ** 2 / self.spread)
        return Span(value=_exp(log), low=_exp(log - half), high=_exp(log + half))

    @property
    def factor(self) -> Span:
        """Stems next year ÷ stems this year."""
        half = (self.width or 0) / math.sqrt(self.spread)
        return Span(value=_exp(self.slope), low=_exp(self.slope - half), high=_exp(self.slope + half))

    @property
    def has_limits(self) -> bool:
        return self.width is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Decline:
    """The course of a stand. ``surveys`` are those that count, one a year, oldest first.

    ``year`` is the first in which the line is at or below ``threshold_stems``, ``earliest`` and ``latest`` the same of
    its limits; None: not within 20 years of the last survey, or not known.
    """

    course: Course
    surveys: tuple[SurveyTotal, ...]
    line: Line | None
    threshold_stems: float | None
    year: int | None
    earliest: int | None
    latest: int | None
    reasons: tuple[Reason, ...]


def decline(
    totals: Sequence[SurveyTotal],
    policy: Policy,
    *,
    first_cut_year: int | None = None,
    in_water: bool = False,
    on_land: bool = False,
) -> Decline:
    """Fit the decline of a stand to its own surveys and say when it should be down to ``policy.gone_percent``.

    Of each year the first survey counts, because later ones come after that year's cutting; before the first cut only
    the last one. Log-linear least squares, weighted by (stems ÷ standard error)², or unweighted where a standard error
    is not known. Two surveys have the limits of their ratio, by their standard errors (normal); from three on the
    limits are by t with n − 2 degrees of freedom and the scatter around the line, and never narrower than by the
    standard errors alone. A survey without a stem cannot enter a logarithm: as the latest it makes the stand clear,
    before that it is left out.

    ``in_water`` and ``on_land`` say which parts the stand has, for the published ranges beside its own factor.

    Raises UnusableInput, naming every faulty field: stems or a standard error below 0.
    """
    faults = Faults()
    for number, each in enumerate(totals):
        faults.unless(0 <= each.stems < math.inf, f"totals[{number}].stems", f"must be 0 or more, not {each.stems:g}")
        faults.unless(each.se is None or 0 <= each.se < math.inf, f"totals[{number}].se", "must be 0 or more")
    faults.raise_any()
    yearly = one_a_year(totals, first_cut_year)
    surveys = tuple(each for each in yearly if each.stems > 0)
    notes = _notes(totals, yearly, surveys)
    if yearly and yearly[-1].stems == 0:
        clear = reason("decline.clear", on=yearly[-1].on, years=CLEAR_YEARS)
        line = _fit(surveys) if len(surveys) >= SURVEYS_MIN else None
        return _without_year(Course.CLEAR, surveys, line, (clear, *notes), policy)
    if len(surveys) < SURVEYS_MIN:
        few = reason("decline.too_few", count=len(surveys), least=SURVEYS_MIN)
        return _without_year(Course.TOO_FEW, surveys, None, (few, *notes), policy)
    line = _fit(surveys)
    reasons = (*_line_reasons(surveys, line), *notes, *_published(line, in_water=in_water, on_land=on_land))
    threshold = surveys[0].stems * policy.gone_percent / 100
    of_threshold = {"stems": math.ceil(threshold), "percent": policy.gone_percent}
    if surveys[-1].stems <= threshold:
        below = reason("decline.below", on=surveys[-1].on, years=CLEAR_YEARS, **of_threshold)
        return _without_year(Course.BELOW, surveys, line, (below, *reasons), policy)
    if round(line.factor.value, FACTOR_DECIMALS) >= 1:  # equal surveys leave a slope of some 1e-17 of either sign
        rising = reason("decline.not_declining", factor=round(line.factor.value, FACTOR_DECIMALS))
        return _without_year(Course.NOT_DECLINING, surveys, line, (rising, *reasons), policy)
    year, earliest, latest = (_year_below(line, surveys[-1].on, threshold, limit) for limit in ("value", "low", "high"))
    return Decline(
        course=Course.DECLINING,
        surveys=surveys,
        line=line,
        threshold_stems=threshold,
        year=year,
        earliest=earliest if line.has_limits else None,
        latest=latest if line.has_limits else None,
        reasons=(
            reason("decline.year", year=year, **of_threshold)
            if year
            else reason("decline.not_within", years=YEARS_AHEAD, **of_threshold),
            *((reason("decline.may_not", years=YEARS_AHEAD),) if line.has_limits and latest is None else ()),
            *reasons,
        ),
    )


def one_a_year(totals: Sequence[SurveyTotal], first_cut_year: int | None) -> list[SurveyTotal]:
    """The surveys that count: the first of each year, and of the years up to the first cut the last such.

    A survey of the same winter as one that counts shows no other season.
    """
    firsts: dict[int, SurveyTotal] = {}
    for each in sorted(totals, key=lambda total: total.on):
        before_it = firsts.get(each.on.year - 1)
        if before_it is None or (each.on - before_it.on).days >= APART_DAYS_MIN:
            firsts.setdefault(each.on.year, each)
    before = [year for year in firsts if first_cut_year is not None and year <= first_cut_year]
    return [total for year, total in firsts.items() if not before or year >= before[-1]]


def pace(factor: float, published: Published) -> Pace:
    """Whether a stand with this yearly factor declines inside, slower or faster than published trials, to a percent."""
    percent = round(factor * 100)
    if percent > round(published.high * 100):
        return Pace.SLOWER
    return Pace.FASTER if percent < round(published.low * 100) else Pace.INSIDE


def years_between(first: datetime.date, then: datetime.date) -> float:
    """Years of 365.25 days from one day to another."""
    return (then - first).days / DAYS_PER_YEAR


# --- Private ---------------------------------------------------------------------------------------------------------


def _fit(surveys: Sequence[SurveyTotal]) -> Line:
    years = [years_between(surveys[0].on, each.on) for each in surveys]
    logs = [math.log(each.stems) for each in surveys]
    weighted = _has_errors(surveys)
    weights = [1 / max((each.se or 0) / each.stems, RELATIVE_SE_MIN) ** 2 if weighted else 1.0 for each in surveys]
    weight = sum(weights)
    mean_years = _mean(years, weights)
    mean_log = _mean(logs, weights)
    spread = sum(w * (x - mean_years) ** 2 for w, x in zip(weights, years, strict=True))
    slope = sum(w * (x - mean_years) * (y - mean_log) for w, x, y in zip(weights, years, logs, strict=True)) / spread
    residuals = [y - mean_log - slope * (x - mean_years) for x, y in zip(years, logs, strict=True)]
    chi2 = sum(w * r**2 for w, r in zip(weights, residuals, strict=True))
    return Line(
        start=surveys[0].on,
        mean_years=mean_years,
        mean_log=mean_log,
        slope=slope,
        weight=weight,
        spread=spread,
        width=_width(chi2, len(surveys) - SURVEYS_MIN, weighted=weighted),
    )


def _width(chi2: float, freedom: int, *, weighted: bool) -> float | None:
    upper = (1 + CONFIDENCE) / 2
    by_errors = normal_quantile(upper) if weighted else None
    if freedom == 0:
        return by_errors
    return max(by_errors or 0.0, t_quantile(freedom, upper) * math.sqrt(chi2 / freedom))


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    return sum(w * value for w, value in zip(weights, values, strict=True)) / sum(weights)


def _exp(log: float) -> float:
    """exp without overflow: beyond all stems it stays there."""
    return math.exp(min(log, LOG_MAX))


def _has_errors(surveys: Sequence[SurveyTotal]) -> bool:
    return all(each.se is not None for each in surveys)


def _year_below(line: Line, last: datetime.date, threshold: float, limit: str) -> int | None:
    """The first year after the last survey in which, on that day of the year, the line or a limit is at most so."""
    for ahead in range(1, YEARS_AHEAD + 1):
        day = last + datetime.timedelta(days=round(ahead * DAYS_PER_YEAR))
        if getattr(line.at(day), limit) <= threshold:
            return last.year + ahead
    return None


def _without_year(
    course: Course, surveys: tuple[SurveyTotal, ...], line: Line | None, reasons: tuple[Reason, ...], policy: Policy
) -> Decline:
    return Decline(
        course=course,
        surveys=surveys,
        line=line,
        threshold_stems=surveys[0].stems * policy.gone_percent / 100 if surveys else None,
        year=None,
        earliest=None,
        latest=None,
        reasons=reasons,
    )


def _line_reasons(surveys: Sequence[SurveyTotal], line: Line) -> tuple[Reason, ...]:
    weighted, freedom = _has_errors(surveys), len(surveys) - SURVEYS_MIN
    if freedom:
        limits = reason("decline.limits_t" if weighted else "decline.limits_t_unweighted", freedom=freedom)
    else:
        limits = reason("decline.limits_ratio" if weighted else "decline.no_limits")
    found = [reason("decline.line", count=len(surveys), factor=round(line.factor.value, FACTOR_DECIMALS)), limits]
    if not FACTOR_LOW <= line.factor.value <= FACTOR_HIGH:
        found.append(reason("decline.implausible", low=FACTOR_LOW, high=FACTOR_HIGH))
    return tuple(found)


def _notes(
    totals: Sequence[SurveyTotal], yearly: Sequence[SurveyTotal], surveys: Sequence[SurveyTotal]
) -> tuple[Reason, ...]:
    found = []
    if len(yearly) < len(totals):
        found.append(reason("decline.one_a_year", left_out=len(totals) - len(yearly)))
    if any(each.stems == 0 for each in yearly[:-1]):
        found.append(reason("decline.zero_left_out"))
    apart = _days_apart(surveys)
    if apart > SEASON_DAYS_MAX:
        found.append(reason("decline.seasons", days=apart))
    return tuple(found)


def _days_apart(surveys: Sequence[SurveyTotal]) -> int:
    days = [each.on.timetuple().tm_yday for each in surveys]
    return max(days, default=0) - min(days, default=0)


def _published(line: Line, *, in_water: bool, on_land: bool) -> tuple[Reason, ...]:
    found: list[Reason] = []
    for each in PUBLISHED:
        if in_water if each.in_water else on_land:
            found.append(reason(each.code, low=round(each.low * 100), high=round(each.high * 100)))
            found.append(reason(f"decline.{pace(line.factor.value, each)}", percent=round(line.factor.value * 100)))
    return (*found, reason("decline.places")) if found else ()
