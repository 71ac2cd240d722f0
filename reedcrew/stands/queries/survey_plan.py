"""How many quadrats the next survey of a stand needs, from the counts of the last ones or from guesses."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reedcrew.stands.models import Zone
from reedcrew.stands.queries.stems import Standing, plain
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sampling import PLACES_MAX, Allocation, PlannedStratum, SizePlan, elzinga_size, stratified_size

RANGE_IN_SD = 4  # a guessed range is taken for so many standard deviations (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class ZonePlan:
    """One zone in the plan: how many quadrats, and on what mean and scatter of a quadrat that rests."""

    zone: Zone
    quadrats: int
    mean: float
    sd: float
    reason: Reason

    @property
    def places(self) -> int:
        """How many places can be drawn at once for them."""
        return min(self.quadrats, PLACES_MAX)


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyPlan:
    """Quadrats in all and by zone; ``size`` is None where nothing could be planned. ``left_out``: zones, each with why.

    ``assured``: quadrats of a single zone with 90 % assurance (Elzinga and others), None for several zones.
    """

    size: SizePlan | None
    zones: tuple[ZonePlan, ...]
    left_out: tuple[tuple[Zone, Reason], ...]
    expected_stems: float
    assured: int | None


def survey_plan(
    standing: Sequence[Standing],
    *,
    quadrat_m2: Decimal,
    guesses: Mapping[int, tuple[int, int]],
    precision: float,
    confidence: float,
    allocation: Allocation,
) -> SurveyPlan:
    """The fewest quadrats for which the stand's total should be known to ± ``precision`` (a share of 1).

    A zone's mean and scatter come from its guess (fewest and most stems of a quadrat) or else from the latest survey
    with at least two quadrats of this size there. Zones without area or without either are left out. No query.
    """
    known: list[tuple[Zone, float, float, Reason]] = []
    left_out: list[tuple[Zone, Reason]] = []
    for each in standing:
        found = _known(each, quadrat_m2, guesses)
        if isinstance(found, Reason):
            left_out.append((each.zone, found))
        else:
            known.append((each.zone, *found))
    expected = sum(_units(zone, quadrat_m2) * mean for zone, mean, _sd, _why in known)
    if not expected:
        return SurveyPlan(size=None, zones=(), left_out=tuple(left_out), expected_stems=0, assured=None)
    strata = [
        PlannedStratum(name=str(zone.pk), units=_units(zone, quadrat_m2), sd=sd) for zone, _mean, sd, _why in known
    ]
    size = stratified_size(strata, precision * expected, allocation=allocation, confidence=confidence)
    assured = None
    if len(strata) == 1:
        (alone,) = strata
        half_width = precision * expected / alone.units
        assured = elzinga_size(alone.sd, half_width, units=alone.units, confidence=confidence)
    return SurveyPlan(
        size=size,
        zones=tuple(
            ZonePlan(zone=zone, quadrats=share, mean=mean, sd=sd, reason=why)
            for (zone, mean, sd, why), (_name, share) in zip(known, size.shares, strict=True)
        ),
        left_out=tuple(left_out),
        expected_stems=expected,
        assured=assured,
    )


def _units(zone: Zone, quadrat_m2: Decimal) -> float:
    return float((zone.area_m2 or Decimal(0)) / quadrat_m2)


def _known(
    standing: Standing, quadrat_m2: Decimal, guesses: Mapping[int, tuple[int, int]]
) -> tuple[float, float, Reason] | Reason:
    """Mean and standard deviation of a quadrat's count and where they come from, or why there are none."""
    zone = standing.zone
    if not zone.area_m2:
        return reason("survey_plan.no_area")
    if zone.pk in guesses:
        least, most = guesses[zone.pk]
        return (least + most) / 2, (most - least) / RANGE_IN_SD, reason("survey_plan.guess", least=least, most=most)
    if standing.counts is None or standing.survey is None:
        return reason("survey_plan.no_counts")
    sample = standing.counts.sample.sample
    if standing.survey.quadrat_m2 != quadrat_m2:
        return reason("survey_plan.other_size", quadrat_m2=plain(standing.counts.sample.quadrat_m2, 3))
    if sample.sd is None:
        return reason("survey_plan.one_quadrat")
    why = reason("survey_plan.counts", n=sample.n, date=standing.survey.surveyed_on)
    return sample.mean, sample.sd, why
