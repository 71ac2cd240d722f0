"""What a report says of the stands: stems removed, the area that was cut, how density changed, where material went."""

import datetime
import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from operator import attrgetter
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from reedcrew.fieldbook.models import Load
from reedcrew.grants.reports.codes import UNKNOWN_PERSON
from reedcrew.grants.reports.records import DayLine, Density, DensityChange, LoadLine, StandLine, Stems
from reedcrew.grants.reports.scope import Scope
from reedcrew.stands.models import Stand
from reedcrew.stands.queries import SurveyTotal, ZoneCounts, survey_totals_of
from reedcrew.trade.effort import together
from reedcrew.trade.sampling import ratio_of_totals, stratified_total


class TallyRow(NamedTuple):
    """One standing tally of the report's days."""

    day: int
    stand: int
    zone: int
    zone_name: str
    area_m2: Decimal | None
    stems: int
    low: int | None
    high: int | None


def tally_rows(scope: Scope) -> list[TallyRow]:
    """The tallies of the report's days. One query."""
    columns = ("day", "day__stand", "zone", "zone__name", "zone__area_m2", "stems", "stems_low", "stems_high")
    return [TallyRow(*row) for row in scope.tallies().order_by("day", "pk").values_list(*columns)]


def stems_of(rows: Sequence[TallyRow], days: Iterable[int]) -> Stems:
    """Stems of these tallies, made on these days."""
    stems, low, high = together([(row.stems, row.low, row.high) for row in rows])
    tallied = {row.day for row in rows}
    return Stems(stems=stems, low=low, high=high, tallies=len(rows), untallied=sum(day not in tallied for day in days))


def stand_lines(
    scope: Scope, stands: Mapping[int, Stand], rows: Sequence[TallyRow], days: Sequence[DayLine]
) -> tuple[StandLine, ...]:
    """A line for each stand that was worked on. Three queries."""
    days_of: dict[int, list[DayLine]] = {}
    for day in days:
        days_of.setdefault(day.stand_id, []).append(day)
    surveys = survey_totals_of([stands[key] for key in days_of])
    tallies: dict[int, list[TallyRow]] = {}
    for row in rows:
        tallies.setdefault(row.stand, []).append(row)
    worked = sorted(days_of, key=lambda key: (stands[key].site.name, stands[key].name, key))
    return tuple(
        _stand_line(stands[key], days_of[key], tallies.get(key, []), surveys[key], scope.last) for key in worked
    )


class LoadRow(NamedTuple):
    """One standing load of the report's days."""

    kind: str
    seed_heads: bool
    place: str
    number: int
    sun_until: datetime.date | None
    moved_on_at: datetime.datetime | None
    moved_on_by: int | None
    moved_on_to: str
    zone: str


def load_lines(scope: Scope, codes: Mapping[int, str]) -> tuple[LoadLine, ...]:
    """Loads by kind, those with seed heads apart; ``codes`` are those of accounts. One query."""
    columns = (
        *("kind", "seed_heads", "place", "count", "sun_until", "moved_on_at", "moved_on_by", "moved_on_to"),
        "day__stand__site__time_zone",
    )
    rows = (LoadRow(*row) for row in scope.loads().order_by("kind", "seed_heads", "place", "pk").values_list(*columns))
    runs = itertools.groupby(rows, key=attrgetter("kind", "seed_heads"))
    return tuple(_load_line(list(run), codes) for _kind, run in runs)


def density_change(
    surveys: Sequence[SurveyTotal], *, first_work: datetime.date, last: datetime.date
) -> tuple[DensityChange | None, Density | None]:
    """How density changed from before the work to the end of the period, or the one survey that there is.

    Earlier is the latest survey up to the first day of work, or else the first after it; later is the latest up to the
    end of the period. Only zones count that both surveys counted and whose area is known: their strata added up, with
    the limits of the ratio on the log scale (``trade.sampling``). The surveys are taken to be independent.
    """
    known = [each for each in surveys if each.total is not None and each.survey.surveyed_on <= last]
    if not known:
        return None, None
    before = [each for each in known if each.survey.surveyed_on <= first_work]
    earlier, later = (before or known[:1])[-1], known[-1]
    zones = {part.zone.pk for part in earlier.zones} & {part.zone.pk for part in later.zones if part.stratum}
    if earlier is later or not zones:
        return None, _density(later, {part.zone.pk for part in later.zones})
    parts = [part for part in later.zones if part.zone.pk in zones]
    area = math.fsum(part.sample.area_m2 or 0.0 for part in parts)
    totals = [_total(each, zones) for each in (earlier, later)]
    ratio = None
    if totals[0].value > 0:
        ratio = ratio_of_totals(totals[0].value, totals[0].se, totals[1].value, totals[1].se)
    return (
        DensityChange(
            zones=tuple(part.zone.name for part in parts),
            area_m2=area,
            earlier=_density(earlier, zones),
            later=_density(later, zones),
            ratio=ratio.ratio if ratio else None,
            low=ratio.low if ratio else None,
            high=ratio.high if ratio else None,
        ),
        None,
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _stand_line(
    stand: Stand,
    days: Sequence[DayLine],
    rows: Sequence[TallyRow],
    surveys: Sequence[SurveyTotal],
    last: datetime.date,
) -> StandLine:
    areas = {(row.zone_name, row.zone): row.area_m2 for row in rows}
    change, only = density_change(surveys, first_work=min(day.date for day in days), last=last)
    return StandLine(
        stand_id=stand.pk,
        stand=stand.name,
        site=stand.site.name,
        days=len(days),
        stems=stems_of(rows, [day.day_id for day in days]),
        area_m2=sum((area for area in areas.values() if area is not None), Decimal(0)),
        zones=tuple(name for name, _key in sorted(areas)),
        zones_without_area=tuple(name for (name, _key), area in sorted(areas.items()) if area is None),
        change=change,
        only=only,
    )


def _load_line(rows: Sequence[LoadRow], codes: Mapping[int, str]) -> LoadLine:
    """Rows of one kind as a line."""
    gone = [(row, row.moved_on_at.astimezone(ZoneInfo(row.zone)).date()) for row in rows if row.moved_on_at]
    return LoadLine(
        kind=rows[0].kind,
        kind_word=str(Load.Kind(rows[0].kind).label),
        seed_heads=rows[0].seed_heads,
        entries=len(rows),
        count=sum(row.number for row in rows),
        places=tuple(dict.fromkeys(row.place for row in rows if row.place)),
        sun_until=max((row.sun_until for row in rows if row.sun_until), default=None),
        moved_on=sum(row.number for row, _on in gone),
        moved_on_to=tuple(dict.fromkeys(row.moved_on_to for row, _on in gone if row.moved_on_to)),
        moved_on_by=tuple(dict.fromkeys(codes.get(row.moved_on_by or 0, UNKNOWN_PERSON) for row, _on in gone)),
        moved_on_last=max((on for _row, on in gone), default=None),
    )


def _parts(each: SurveyTotal, zones: set[int]) -> list[ZoneCounts]:
    return [part for part in each.zones if part.zone.pk in zones and part.stratum]


def _total(each: SurveyTotal, zones: set[int]) -> Any:
    return stratified_total([part.stratum for part in _parts(each, zones) if part.stratum]).estimate


def _density(each: SurveyTotal, zones: set[int]) -> Density:
    parts, total = _parts(each, zones), _total(each, zones)
    area = math.fsum(part.sample.area_m2 or 0.0 for part in parts)
    return Density(
        survey_id=each.survey.pk,
        on=each.survey.surveyed_on,
        quadrats=sum(part.sample.sample.n for part in parts),
        value=total.value / area,
        low=None if total.low is None else total.low / area,
        high=None if total.high is None else total.high / area,
    )
