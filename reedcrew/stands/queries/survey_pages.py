"""What the pages of surveys show."""

from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from reedcrew.people.queries import member_name
from reedcrew.stands.models import Quadrat, Stand, Survey
from reedcrew.stands.queries.stems import SurveyTotal, ZoneCounts, survey_total, survey_totals, whole_limits
from reedcrew.trade.sampling import Dispersion, Estimate, dispersion


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyedZone:
    """A zone on a survey's page: its density, its stems where its area is known, and how the stems stand."""

    counts: ZoneCounts
    density: Estimate
    total: Estimate | None
    spread: Dispersion

    @property
    def limits(self) -> tuple[int | None, int | None]:
        """95 % limits of the zone's stems, whole."""
        return whole_limits(self.total)


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyPage:
    """Everything that a survey's page shows."""

    survey: Survey
    total: SurveyTotal
    zones: tuple[SurveyedZone, ...]
    quadrats: tuple[Quadrat, ...]
    names_without_quadrats: tuple[str, ...]
    names_without_area: tuple[str, ...]
    names_that_took_depth: tuple[str, ...]
    recorded_by: str | None
    struck_by: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyList:
    """A stand's surveys, newest first, and those that were struck out."""

    totals: tuple[SurveyTotal, ...]
    struck: tuple[Survey, ...]


def surveys_of(stand: Stand) -> QuerySet[Any]:
    """All surveys of a stand, newest first, each with the names of who recorded it and who struck it out."""
    return stand.surveys.select_related("stand__site__group").annotate(
        recorder=member_name(group="stand__site__group", account="recorded_by"),
        striker=member_name(group="stand__site__group", account="struck_by"),
    )


def survey_list(stand: Stand) -> SurveyList:
    """The surveys of a stand; the number of queries does not grow with them."""
    struck = stand.surveys.exclude(struck_at=None).select_related("stand__site__group")
    return SurveyList(totals=tuple(reversed(survey_totals(stand))), struck=tuple(struck))


def survey_page(survey: Survey) -> SurveyPage:
    """The page of one survey that surveys_of gave; the number of queries does not grow with its quadrats."""
    total = survey_total(survey)
    counted = {each.zone.pk for each in total.zones}
    names = dict(survey.stand.zones.values_list("pk", "name"))
    return SurveyPage(
        survey=survey,
        total=total,
        zones=tuple(
            SurveyedZone(counts=each, density=each.density, total=each.total, spread=dispersion(each.sample.sample))
            for each in total.zones
        ),
        quadrats=tuple(survey.quadrats.select_related("zone")),
        names_without_quadrats=tuple(name for key, name in names.items() if key not in counted),
        names_without_area=tuple(each.zone.name for each in total.zones if each.sample.area_m2 is None),
        names_that_took_depth=tuple(name for key, name in names.items() if str(key) in survey.depth_changes),
        recorded_by=getattr(survey, "recorder", None),
        struck_by=getattr(survey, "striker", None),
    )
