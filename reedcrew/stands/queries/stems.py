"""How many stems stand: of zones, of a stand now, of a stand at each of its surveys."""

import datetime
import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Count, F, OuterRef, Subquery, Sum

from reedcrew.stands.models import Quadrat, Stand, Survey, Zone
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sampling import (
    Estimate,
    StratifiedTotal,
    Stratum,
    ZoneSample,
    moments_of_sums,
    stratified_total,
    zone_density,
    zone_total,
)


class StemsHow(StrEnum):
    """How a zone's number of stems is known."""

    SURVEYED = "quadrats"
    TYPED = "estimate by eye"


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneCounts:
    """What one survey counted in one zone."""

    zone: Zone
    survey: Survey
    sample: ZoneSample

    @property
    def density(self) -> Estimate:
        """Stems per m²."""
        return zone_density(self.sample)

    @property
    def total(self) -> Estimate | None:
        """Stems in the zone; None where the zone has no area."""
        return None if self.sample.area_m2 is None else zone_total(self.sample)

    @property
    def stratum(self) -> Stratum | None:
        """The zone as a part of its stand; None where it has no area."""
        units = self.sample.units
        return None if units is None else Stratum(name=self.zone.name, units=units, sample=self.sample.sample)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Stems that stand in a zone, with 95 % limits where they may be claimed, how that is known, and why.

    ``survey`` is the latest with quadrats in the zone, None where there is none. ``counts`` are those of the survey.
    """

    zone: Zone
    stems: int
    low: int | None
    high: int | None
    how: StemsHow
    survey: Survey | None
    counts: ZoneCounts | None
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StandStems:
    """Stems of a stand now: ``total`` with its interval over the zones that were counted, the others told apart.

    ``stems`` is the sum of both. ``first_on`` and ``last_on`` are the days of the surveys behind the total.
    """

    zones: tuple[Standing, ...]
    stems: int
    total: StratifiedTotal | None
    counted_zones: tuple[Standing, ...]
    typed_zones: tuple[Standing, ...]
    typed_stems: int
    quadrats: int
    first_on: datetime.date | None
    last_on: datetime.date | None

    @property
    def low(self) -> int | None:
        """Lower 95 % limit of the counted zones, whole stems; None where none may be claimed."""
        return whole_limits(self.total.estimate if self.total else None)[0]

    @property
    def high(self) -> int | None:
        """Upper 95 % limit of the counted zones, whole stems; None where none may be claimed."""
        return whole_limits(self.total.estimate if self.total else None)[1]

    @property
    def counted_stems(self) -> int:
        """Estimate of the counted zones alone, in whole stems."""
        return round(self.total.estimate.value) if self.total else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyTotal:
    """One survey of a stand: what it counted zone by zone, and the total of those with an area.

    ``total`` is None where none of its zones has one. ``whole_stand``: every zone that the stand has now was counted.
    """

    survey: Survey
    zones: tuple[ZoneCounts, ...]
    total: StratifiedTotal | None
    whole_stand: bool

    @property
    def quadrats(self) -> int:
        return sum(each.sample.sample.n for each in self.zones)

    @property
    def limits(self) -> tuple[int | None, int | None]:
        """95 % limits of the total in whole stems."""
        return whole_limits(self.total.estimate if self.total else None)

    @property
    def area_m2(self) -> float:
        """Area of the counted zones whose area is known."""
        return math.fsum(each.sample.area_m2 or 0.0 for each in self.zones)


def standing_stems(zones: Iterable[Zone]) -> dict[int, Standing]:
    """Stems that stand in each zone, by its key: the latest survey with quadrats there × the zone's area, or else the
    number typed in by the organizer. Struck-out surveys do not count.

    The only place that says how many stems a zone has. Three queries, however many zones and surveys.
    """
    asked = list(zones)
    counts = _latest_counts(asked)
    return {zone.pk: _standing(zone, counts.get(zone.pk)) for zone in asked}


def stand_stems(zones: Iterable[Zone]) -> StandStems:
    """Stems of one stand now, from all of its zones. Three queries."""
    return stems_together(list(standing_stems(zones).values()))


def stems_together(found: Sequence[Standing]) -> StandStems:
    """Sum up zones of one stand: surveyed zones as strata, whatever survey each comes from. No query."""
    surveyed = [each for each in found if each.how is StemsHow.SURVEYED and each.counts and each.survey]
    typed = [each for each in found if each.how is StemsHow.TYPED]
    strata = [each.counts.stratum for each in surveyed if each.counts]
    days = [each.survey.surveyed_on for each in surveyed if each.survey]
    total = stratified_total([stratum for stratum in strata if stratum]) if surveyed else None
    typed_stems = sum(each.stems for each in typed)
    return StandStems(
        zones=tuple(found),
        stems=typed_stems + (round(total.estimate.value) if total else 0),
        total=total,
        counted_zones=tuple(surveyed),
        typed_zones=tuple(typed),
        typed_stems=typed_stems,
        quadrats=sum(each.counts.sample.sample.n for each in surveyed if each.counts),
        first_on=min(days, default=None),
        last_on=max(days, default=None),
    )


def survey_totals(stand: Stand) -> tuple[SurveyTotal, ...]:
    """Every standing survey of a stand, oldest first, with its densities and total. Three queries.

    Areas are those that the zones have now; densities do not depend on them.
    """
    surveys = stand.surveys.filter(struck_at=None).order_by("surveyed_on", "recorded_at", "pk")
    return _totals(surveys, list(stand.zones.all()))


def survey_totals_of(stands: Iterable[Stand]) -> dict[int, tuple[SurveyTotal, ...]]:
    """The same of several stands, by their keys; a stand without a survey has none. Three queries."""
    found: dict[int, list[SurveyTotal]] = {stand.pk: [] for stand in stands}
    surveys = Survey.objects.standing().filter(stand__in=found).order_by("surveyed_on", "recorded_at", "pk")
    for each in _totals(surveys, list(Zone.objects.filter(stand__in=found))):
        found[each.survey.stand_id].append(each)
    return {key: tuple(totals) for key, totals in found.items()}


def survey_total(survey: Survey) -> SurveyTotal:
    """One survey, struck out or not, with its densities and total. Three queries."""
    (found,) = _totals([survey], list(survey.stand.zones.all()))
    return found


def whole_limits(total: Estimate | None) -> tuple[int | None, int | None]:
    """The limits of a number of stems, widened to whole stems; None where none may be claimed."""
    if total is None or total.low is None or total.high is None:
        return None, None
    # Less than a millionth of a stem is the arithmetic's, not the stand's.
    return math.floor(total.low + 1e-6), math.ceil(total.high - 1e-6)


def plain(value: float, places: int) -> float:
    """A number for a sentence: rounded, and without decimals where it is whole."""
    rounded = round(value, places)
    return int(rounded) if rounded == int(rounded) else rounded


def _totals(surveys: Iterable[Survey], zones: Sequence[Zone]) -> tuple[SurveyTotal, ...]:
    by_key = {survey.pk: survey for survey in surveys}
    parts: dict[int, list[ZoneCounts]] = {}
    for (key, _zone), counts in _sums(by_key, {zone.pk: zone for zone in zones}).items():
        parts.setdefault(key, []).append(counts)
    zones_of_stand = Counter(zone.stand_id for zone in zones)
    return tuple(
        _survey_total(survey, parts.get(survey.pk, []), zones_of_stand[survey.stand_id]) for survey in by_key.values()
    )


def _survey_total(survey: Survey, parts: Sequence[ZoneCounts], zones: int) -> SurveyTotal:
    known = [stratum for part in parts if (stratum := part.stratum)]
    return SurveyTotal(
        survey=survey,
        zones=tuple(parts),
        total=stratified_total(known) if known else None,
        whole_stand=0 < zones == len(known),
    )


def _latest_counts(zones: Sequence[Zone]) -> dict[int, ZoneCounts]:
    latest = (
        Survey.objects.standing()
        .filter(stand=OuterRef("stand"), quadrats__zone=OuterRef("pk"))
        .order_by("-surveyed_on", "-recorded_at", "-pk")
    )
    keys = dict(
        Zone.objects.filter(pk__in=[zone.pk for zone in zones])
        .annotate(latest=Subquery(latest.values("pk")[:1]))
        .exclude(latest=None)
        .values_list("pk", "latest")
        .order_by("pk")
    )
    surveys = Survey.objects.in_bulk(set(keys.values()))
    wanted = {zone.pk: zone for zone in zones if zone.pk in keys}
    counted = _sums(surveys, wanted)
    return {zone: counted[survey, zone] for zone, survey in keys.items()}


def _sums(surveys: Mapping[int, Survey], zones: Mapping[int, Zone]) -> dict[tuple[int, int], ZoneCounts]:
    """Counts by survey and zone, added up in the database, zones in the order of their names."""
    rows = (
        Quadrat.objects.filter(survey__in=surveys, zone__in=zones)
        .values("survey", "zone")
        .annotate(n=Count("pk"), total=Sum("stems"), squares=Sum(F("stems") * F("stems")))
        .order_by("zone__name", "zone", "survey")
    )
    return {
        (row["survey"], row["zone"]): ZoneCounts(
            zone=zones[row["zone"]],
            survey=surveys[row["survey"]],
            sample=ZoneSample(
                name=zones[row["zone"]].name,
                area_m2=_area(zones[row["zone"]]),
                quadrat_m2=float(surveys[row["survey"]].quadrat_m2),
                sample=moments_of_sums(row["n"], row["total"], row["squares"]),
            ),
        )
        for row in rows
    }


def _area(zone: Zone) -> float | None:
    return float(zone.area_m2) if zone.area_m2 else None


def _standing(zone: Zone, counts: ZoneCounts | None) -> Standing:
    total = counts.total if counts else None
    if counts is None or total is None:
        because = reason("stems.typed")
        if counts is not None:
            because = reason("stems.typed_without_area", date=counts.survey.surveyed_on)
        return Standing(
            zone=zone,
            stems=zone.stems,
            low=None,
            high=None,
            how=StemsHow.TYPED,
            survey=counts.survey if counts else None,
            counts=counts,
            reasons=(because,),
        )
    how = reason(
        "stems.surveyed",
        area_m2=plain(counts.sample.area_m2 or 0.0, 1),
        density=plain(counts.density.value, 2),
        n=counts.sample.sample.n,
        quadrat_m2=plain(counts.sample.quadrat_m2, 3),
        date=counts.survey.surveyed_on,
    )
    low, high = whole_limits(total)
    return Standing(
        zone=zone,
        stems=round(total.value),
        low=low,
        high=high,
        how=StemsHow.SURVEYED,
        survey=counts.survey,
        counts=counts,
        reasons=(how, *counts.density.reasons),
    )
