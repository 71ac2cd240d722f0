"""Rows of the archive: events, the reed that was found in them, and what was measured. Nothing personal is in them."""

import datetime
import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Max, QuerySet, Sum
from shapely.geometry import shape

from reedcrew.fieldbook.models import Load, Tally
from reedcrew.grants.models import HourEntry, Licence
from reedcrew.grants.open_data.licences import TERMS
from reedcrew.grants.open_data.stands import OpenStand, generalized, open_stands, withheld
from reedcrew.grants.open_data.vocabulary import (
    ALIVE,
    DATUM,
    HUMAN_OBSERVATION,
    SQUARE_METRE,
    STEMS,
    UNITS,
    UNVERIFIED,
    VERIFIED,
    EventType,
    Measure,
    Status,
)
from reedcrew.grants.queries.ledger import hours_of
from reedcrew.people.models import Group
from reedcrew.stands.models import Quadrat, Stand, Survey
from reedcrew.stands.queries import survey_totals_of
from reedcrew.trade.blurring import Blurring
from reedcrew.trade.effort import together
from reedcrew.trade.valuation import Kind
from reedcrew.workdays.models import WorkDay

Value = str | int | float | Decimal | datetime.date | None
Row = dict[str, Value]

ROWS_AT_ONCE = 500  # fetched from the database together


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRecords:
    """What a group publishes: its stands, and under which terms.

    Surveys up to ``last_survey`` and the days of ``day_keys`` are in it: what is entered while files are written is
    not, so that no row names an event that another file does not have.
    """

    group: Group
    licence: Licence
    blurring: Blurring
    stands: dict[int, OpenStand]
    last_survey: int
    day_keys: frozenset[int]

    def key(self, kind: str, number: int) -> str:
        """The identifier of a row: it stays, because neither the group's short name nor the number ever changes."""
        return f"{self.group.slug}:{kind}:{number}"

    @property
    def surveys(self) -> QuerySet[Survey]:
        standing = Survey.objects.standing().filter(stand__site__group=self.group, pk__lte=self.last_survey)
        return standing.order_by("surveyed_on", "pk")

    @property
    def quadrats(self) -> QuerySet[Quadrat]:
        standing = Quadrat.objects.filter(
            survey__stand__site__group=self.group, survey__struck_at=None, survey__lte=self.last_survey
        )
        return standing.select_related("survey").order_by("survey__surveyed_on", "survey", "zone", "number")

    @property
    def closed_days(self) -> QuerySet[WorkDay]:
        return _closed_days(self.group).order_by("date", "pk")


def open_records(group: Group, licence: Licence, blurring: Blurring) -> OpenRecords:
    """Seven queries, however many stands. Stands are read last: every survey and day that is in has its stand."""
    last_survey = Survey.objects.filter(stand__site__group=group).aggregate(last=Max("pk"))["last"] or 0
    day_keys = frozenset(_closed_days(group).values_list("pk", flat=True))
    return OpenRecords(
        group=group,
        licence=licence,
        blurring=blurring,
        last_survey=last_survey,
        day_keys=day_keys,
        stands=open_stands(group, blurring),
    )


def _closed_days(group: Group) -> QuerySet[WorkDay]:
    return WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED)


# --- Events ----------------------------------------------------------------------------------------------------------


def event_rows(records: OpenRecords) -> Iterator[Row]:
    """Stands, their surveys with the quadrats, and their closed days, each after its parent. Four queries."""
    for stand in records.stands.values():
        yield _stand_event(records, stand)
    for survey in records.surveys.annotate(n=Count("quadrats")).iterator(ROWS_AT_ONCE):
        yield _survey_event(records, survey, survey.n)
    for quadrat in records.quadrats.iterator(ROWS_AT_ONCE):
        yield _quadrat_event(records, quadrat)
    minutes = _minutes(records)
    for day in records.closed_days.iterator(ROWS_AT_ONCE):
        if day.pk not in records.day_keys:
            continue
        yield _day_event(records, day, minutes.get(day.pk))


def _event(records: OpenRecords, stand: OpenStand, key: str, kind: EventType, **more: Value) -> Row:
    place = stand.place
    lon, lat = place.position
    return {
        "eventID": key,
        "license": TERMS[records.licence].address,
        "eventType": kind.value,
        "locationID": stand.key,
        "locality": stand.locality,
        "decimalLatitude": lat,
        "decimalLongitude": lon,
        "geodeticDatum": DATUM,
        "coordinateUncertaintyInMeters": place.uncertainty_m,
        "coordinatePrecision": place.precision,
        "locationRemarks": stand.where,
        "dataGeneralizations": generalized(records.blurring),
        "informationWithheld": withheld(records.blurring),
        **more,
    }


def _stand_event(records: OpenRecords, stand: OpenStand) -> Row:
    footprint = shape(stand.outline.geojson).wkt if stand.outline else ""
    return _event(
        records,
        stand,
        stand.key,
        EventType.STAND,
        eventDate=_interval(stand),
        footprintWKT=footprint,
        footprintSRS=DATUM if footprint else "",
    )


def _interval(stand: OpenStand) -> str:
    """An interval of ISO 8601-1: one day where both are the same."""
    if stand.days is None:
        return ""
    first, last = stand.days
    return first.isoformat() if first == last else f"{first.isoformat()}/{last.isoformat()}"


def _survey_event(records: OpenRecords, survey: Survey, quadrats: int) -> Row:
    stand = records.stands[survey.stand_id]
    return _event(
        records,
        stand,
        records.key("survey", survey.pk),
        EventType.VISIT,
        parentEventID=stand.key,
        eventDate=survey.surveyed_on,
        samplingProtocol="live stems counted in quadrats",
        sampleSizeValue=survey.quadrat_m2 * quadrats if quadrats else None,
        sampleSizeUnit=SQUARE_METRE if quadrats else "",
        samplingEffort=_quadrats(quadrats),
    )


def _quadrats(number: int) -> str:
    return "1 quadrat" if number == 1 else f"{number} quadrats"


def _quadrat_event(records: OpenRecords, quadrat: Quadrat) -> Row:
    stand = records.stands[quadrat.survey.stand_id]
    row = _event(
        records,
        stand,
        records.key("quadrat", quadrat.pk),
        EventType.QUADRAT,
        parentEventID=records.key("survey", quadrat.survey_id),
        eventDate=quadrat.survey.surveyed_on,
        samplingProtocol="live stems counted in a quadrat",
        sampleSizeValue=quadrat.survey.quadrat_m2,
        sampleSizeUnit=SQUARE_METRE,
        samplingEffort=_quadrats(1),
    )
    if records.blurring is Blurring.EXACT and quadrat.position is not None:
        lon, lat = quadrat.position
        own = {"decimalLatitude": lat, "decimalLongitude": lon, "coordinateUncertaintyInMeters": None}
        row.update(own, locationRemarks="")
    return row


def _day_event(records: OpenRecords, day: WorkDay, minutes: int | None) -> Row:
    stand = records.stands[day.stand_id]
    return _event(
        records,
        stand,
        records.key("day", day.pk),
        EventType.VISIT,
        parentEventID=stand.key,
        eventDate=day.date,
        samplingProtocol="reed cut by hand",
        samplingEffort="" if minutes is None else f"{hours_of(minutes)} person-hours",
    )


# --- Occurrences -----------------------------------------------------------------------------------------------------


def occurrence_rows(records: OpenRecords) -> Iterator[Row]:
    """The reed of each stand that somebody identified, and that of each quadrat. One query."""
    for stand in records.stands.values():
        if stand.authority is not None:
            yield _occurrence(stand, stand.key, Status.DETECTED)
    for quadrat in records.quadrats.iterator(ROWS_AT_ONCE):
        stand = records.stands[quadrat.survey.stand_id]
        found = quadrat.stems > 0
        yield _occurrence(
            stand,
            records.key("quadrat", quadrat.pk),
            Status.DETECTED if found else Status.NOT_DETECTED,
            organismQuantity=quadrat.stems,
            organismQuantityType=STEMS,
            vitality=ALIVE if found else "",
        )


def reed_key(event: str) -> str:
    """The identifier of the reed of an event."""
    return f"{event}:reed"


def _occurrence(stand: OpenStand, event: str, status: Status, **more: Value) -> Row:
    return {
        "eventID": event,
        "occurrenceID": reed_key(event),
        "basisOfRecord": HUMAN_OBSERVATION,
        "occurrenceStatus": status.value,
        "kingdom": "Plantae",
        "genus": "Phragmites",
        "specificEpithet": "australis",
        **stand.taxon,
        "dateIdentified": stand.identified_on,
        "identificationVerificationStatus": VERIFIED[stand.authority] if stand.authority else UNVERIFIED,
        **more,
    }


# --- Measurements ----------------------------------------------------------------------------------------------------


def measurement_rows(records: OpenRecords) -> Iterator[Row]:
    """Densities of surveys, what was measured in quadrats, and what was done on closed days. Seven queries."""
    yield from _survey_measurements(records)
    for quadrat in records.quadrats.iterator(ROWS_AT_ONCE):
        yield from _quadrat_measurements(records, quadrat)
    minutes, removed, loads = _minutes(records), _removed(records), _loads(records)
    for key, date in records.closed_days.values_list("pk", "date"):
        if key not in records.day_keys:
            continue
        event = records.key("day", key)
        if key in removed:
            stems, low, high = removed[key]
            accuracy = _limits(low, high) if low != high else ""
            yield _measurement(event, Measure.REMOVED, stems, date, measurementAccuracy=accuracy)
        if key in minutes:
            yield _measurement(event, Measure.EFFORT, hours_of(minutes[key]), date)
        for kind, count in loads.get(key, ()):
            what = Load.Kind(kind)
            yield _measurement(event, Measure.LOADS, count, date, part=what.value, measurementRemarks=_LOADS[what])


_BY_T = ", limits by Student's t"
_LOADS = {Load.Kind.PILE: "pile on dry ground", Load.Kind.BAGS: "bags in the sun"}


def _measurement(
    event: str, measure: Measure, value: Value, on: datetime.date, *, part: str = "", **more: Value
) -> Row:
    key = f"{event}:{measure.name.lower()}"
    return {
        "eventID": event,
        "measurementID": f"{key}:{part}" if part else key,
        "measurementType": measure.value,
        "measurementValue": value,
        "measurementUnit": UNITS[measure],
        "measurementDeterminedDate": on,
        **more,
    }


def _survey_measurements(records: OpenRecords) -> Iterator[Row]:
    stands = Stand.objects.of_group(records.group).order_by("pk")
    for survey in itertools.chain.from_iterable(survey_totals_of(stands).values()):
        if survey.survey.pk > records.last_survey:
            continue
        event, on = records.key("survey", survey.survey.pk), survey.survey.surveyed_on
        for counts in survey.zones:
            zone, density = records.key("zone", counts.zone.pk), counts.density
            limits = "" if density.low is None or density.high is None else _rounded(density.low, density.high)
            yield _measurement(
                event,
                Measure.DENSITY,
                round(density.value, 2),
                on,
                part=str(counts.zone.pk),
                measurementAccuracy=limits,
                measurementMethod=f"mean of {_quadrats(counts.sample.sample.n)}{_BY_T if limits else ''}",
                measurementRemarks=zone,
            )
            if counts.sample.area_m2 is not None:
                area = round(counts.sample.area_m2, 1)
                yield _measurement(event, Measure.AREA, area, on, part=str(counts.zone.pk), measurementRemarks=zone)


def _quadrat_measurements(records: OpenRecords, quadrat: Quadrat) -> Iterator[Row]:
    event, on = records.key("quadrat", quadrat.pk), quadrat.survey.surveyed_on
    if quadrat.height_cm is not None:
        yield _measurement(event, Measure.HEIGHT, quadrat.height_cm, on, occurrenceID=reed_key(event))
    if quadrat.depth_cm is not None:
        yield _measurement(event, Measure.DEPTH, quadrat.depth_cm, on)


def _rounded(low: float, high: float) -> str:
    return _limits(round(low, 2), round(high, 2))


def _limits(low: Value, high: Value) -> str:
    return f"95 % limits {low} to {high}"


def _minutes(records: OpenRecords) -> dict[int, int]:
    """Minutes of field work of everyone on each closed day, as the ledger has them now."""
    entries = HourEntry.objects.of_group(records.group).standing().filter(kind=Kind.FIELD.value)
    return dict(entries.order_by("day").values_list("day").annotate(minutes=Sum("minutes")))


def _removed(records: OpenRecords) -> dict[int, tuple[int, int, int]]:
    """Stems cut on each closed day that has a tally, with the limits of their sum."""
    tallies = Tally.objects.standing().filter(day__in=records.closed_days.order_by().values("pk")).order_by("day", "pk")
    rows = tallies.values_list("day", "stems", "stems_low", "stems_high").iterator(ROWS_AT_ONCE)
    by_day = itertools.groupby(rows, key=lambda row: row[0])
    return {day: together([row[1:] for row in tallied]) for day, tallied in by_day}


def _loads(records: OpenRecords) -> dict[int, list[tuple[str, int]]]:
    loads = Load.objects.standing().filter(day__in=records.closed_days.order_by().values("pk"))
    found: dict[int, list[tuple[str, int]]] = {}
    for day, kind, count in loads.order_by("day", "kind").values_list("day", "kind").annotate(count=Sum("count")):
        found.setdefault(day, []).append((kind, count))
    return found
