"""The years of a stand: what its surveys found, what was cut, how many hours it took, and where that leads."""

import datetime
import itertools
import math
from dataclasses import dataclass

from reedcrew.stands.models import Stand
from reedcrew.stands.queries.outlook import Outlook, outlook
from reedcrew.stands.queries.stems import SurveyTotal, survey_totals
from reedcrew.stands.work_records import WorkRecord, records_of_stand, stems_of
from reedcrew.trade.effort import Crew
from reedcrew.trade.effort.spans import Span
from reedcrew.trade.policy import Policy


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyRow:
    """One survey of a stand and what the fitted line says of its day. ``counts``: the line rests on it too.

    Values are None where the zones' areas are not known, limits where none may be claimed.
    """

    survey: SurveyTotal
    stems: float | None
    low: float | None
    high: float | None
    density: float | None
    line: Span | None
    counts: bool

    @property
    def on(self) -> datetime.date:
        return self.survey.survey.surveyed_on


@dataclass(frozen=True, slots=True, kw_only=True)
class YearRow:
    """What was done at a stand in one year. ``untallied`` days have hours and no stems: what they cut is unknown."""

    year: int
    days: int
    untallied: int
    stems: int
    low: int
    high: int
    water_hours: float
    land_hours: float
    shore_hours: float

    @property
    def person_hours(self) -> float:
        return self.water_hours + self.land_hours + self.shore_hours


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Everything that the page of a stand's years shows."""

    stand: Stand
    surveys: tuple[SurveyRow, ...]
    years: tuple[YearRow, ...]
    outlook: Outlook

    @property
    def has_totals(self) -> bool:
        return any(row.stems is not None for row in self.surveys)


def history(stand: Stand, policy: Policy, at: datetime.datetime, *, crew: Crew | None = None) -> History:
    """The years of a stand up to a moment. The stand comes with its site and group.

    The number of queries does not grow with zones, surveys or days.
    """
    records = records_of_stand(stand)
    totals = survey_totals(stand)
    found = outlook(stand, policy, at, crew=crew, records=records, surveys=totals)
    return History(
        stand=stand,
        surveys=tuple(_survey_row(each, found) for each in totals),
        years=tuple(
            _year_row(year, list(days)) for year, days in itertools.groupby(records, key=lambda each: each.date.year)
        ),
        outlook=found,
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _survey_row(each: SurveyTotal, found: Outlook) -> SurveyRow:
    on = each.survey.surveyed_on
    estimate = each.total.estimate if each.total else None
    line = found.decline.line
    used = {total.on for total in found.decline.surveys}
    return SurveyRow(
        survey=each,
        stems=estimate.value if estimate else None,
        low=estimate.low if estimate else None,
        high=estimate.high if estimate else None,
        density=estimate.value / each.area_m2 if estimate and each.area_m2 else None,
        line=line.at(on) if line and on >= line.start else None,
        counts=each.whole_stand and on in used,
    )


def _year_row(year: int, days: list[WorkRecord]) -> YearRow:
    stems, low, high = stems_of([cut for day in days for cut in day.cut])
    return YearRow(
        year=year,
        days=len(days),
        untallied=sum(not day.cut for day in days),
        stems=stems,
        low=low,
        high=high,
        water_hours=math.fsum(day.in_water.person_hours for day in days),
        land_hours=math.fsum(day.on_land.person_hours for day in days),
        shore_hours=math.fsum(day.shore_hours for day in days),
    )
