"""Stands of a group in one season: which are closing, and how much of last year's reed stood again."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.stands.queries import survey_totals_of
from reedcrew.trade.decline import Course, Decline, SurveyTotal, decline, one_a_year
from reedcrew.trade.policy import Policy
from reedcrew.trade.sampling import Ratio, ratio_of_totals

# What closes a stand's story: no stem seen, or so few as the group's threshold says.
CLOSING = (Course.CLEAR, Course.BELOW)


class Again:
    """Stems of a year's survey for each stem of the year before's, in percent; ``again`` is the ratio."""

    __slots__ = ()
    again: Ratio | None

    @property
    def percent(self) -> float | None:
        return _percent(self.again.ratio) if self.again else None

    @property
    def low_percent(self) -> float | None:
        return _percent(self.again.low) if self.again else None

    @property
    def high_percent(self) -> float | None:
        return _percent(self.again.high) if self.again else None


@dataclass(frozen=True, slots=True, kw_only=True)
class StandState(Again):
    """One stand that may be cut, by its whole surveys up to the end of a year.

    ``now`` is that year's first survey, ``before`` the one of the year before it; None where there is none. ``again``
    are the stems now for each stem then: what grew back after a year's cutting.
    """

    stand: Stand
    decline: Decline
    now: SurveyTotal | None
    before: SurveyTotal | None
    again: Ratio | None

    @property
    def is_closing(self) -> bool:
        return self.decline.course in CLOSING


@dataclass(frozen=True, slots=True, kw_only=True)
class Regrowth(Again):
    """Stems of a year's first surveys ÷ those of the year before, over the stands that were surveyed in both."""

    year: int
    stands: int
    earlier: float
    later: float
    again: Ratio | None

    @property
    def year_before(self) -> int:
        return self.year - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonStands:
    """The stands that may be cut, as a year left them. ``courses`` counts them."""

    stands: tuple[StandState, ...]
    courses: Counter[Course]
    regrowth: dict[int, Regrowth]

    @property
    def closing(self) -> tuple[StandState, ...]:
        return tuple(each for each in self.stands if each.is_closing)

    @property
    def unsurveyed(self) -> tuple[StandState, ...]:
        """Stands without a survey of every zone in the year."""
        return tuple(each for each in self.stands if each.now is None)


def season_stands(group: Group, policy: Policy, year: int) -> SeasonStands:
    """The stands of a group up to the end of a year. Four queries, however many stands and surveys.

    Only surveys of all zones of a stand count, as in its history (``stands.queries.outlook``).
    """
    stands = list(Stand.objects.of_group(group).open_to_work().select_related("site__group"))
    totals = survey_totals_of(stands)
    surveys = {
        stand.pk: [
            SurveyTotal(on=each.survey.surveyed_on, stems=each.total.estimate.value, se=each.total.estimate.se)
            for each in totals[stand.pk]
            if each.whole_stand and each.total is not None and each.survey.surveyed_on.year <= year
        ]
        for stand in stands
    }
    first = {stand.pk: _by_year(stand, surveys[stand.pk]) for stand in stands}
    states = tuple(_state(stand, policy, surveys[stand.pk], first[stand.pk], year) for stand in stands)
    return SeasonStands(
        stands=states,
        courses=Counter(each.decline.course for each in states),
        regrowth=_regrowth(list(first.values())),
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _percent(ratio: float | None) -> float | None:
    return None if ratio is None else 100 * ratio


ByYear = dict[int, SurveyTotal]


def _by_year(stand: Stand, surveys: Sequence[SurveyTotal]) -> ByYear:
    return {each.on.year: each for each in one_a_year(surveys, stand.first_cut_year)}


def _state(stand: Stand, policy: Policy, surveys: Sequence[SurveyTotal], by_year: ByYear, year: int) -> StandState:
    now, before = by_year.get(year), by_year.get(year - 1)
    return StandState(
        stand=stand,
        decline=decline(surveys, policy, first_cut_year=stand.first_cut_year),
        now=now,
        before=before,
        again=_again([before], [now]) if now and before else None,
    )


def _regrowth(by_stand: Sequence[ByYear]) -> dict[int, Regrowth]:
    found = {}
    for year in sorted({year for by_year in by_stand for year in by_year}):
        pairs = [(by_year[year - 1], by_year[year]) for by_year in by_stand if {year - 1, year} <= by_year.keys()]
        if pairs:
            earlier, later = zip(*pairs, strict=True)
            found[year] = Regrowth(
                year=year,
                stands=len(pairs),
                earlier=math.fsum(each.stems for each in earlier),
                later=math.fsum(each.stems for each in later),
                again=_again(earlier, later),
            )
    return found


def _again(earlier: Sequence[SurveyTotal], later: Sequence[SurveyTotal]) -> Ratio | None:
    """The ratio of two sums of stands; None where nothing stood before. Standard errors add in quadrature."""
    before, now = math.fsum(each.stems for each in earlier), math.fsum(each.stems for each in later)
    return ratio_of_totals(before, _se(earlier), now, _se(later)) if before > 0 else None


def _se(totals: Sequence[SurveyTotal]) -> float | None:
    errors = [each.se for each in totals]
    return None if None in errors else math.hypot(*(error for error in errors if error is not None))
