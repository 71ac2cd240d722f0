"""A report as tables: the same for a spreadsheet and for the files of a bundle.

Heads are plain words that do not change with the reader's language, so that programs can read them.
"""

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from reedcrew.fieldbook.models import Load
from reedcrew.grants.models import HourlyRate
from reedcrew.grants.reports import Report
from reedcrew.grants.reports.codes import UNKNOWN_PERSON, codes_of_accounts
from reedcrew.grants.reports.records import Density, Hours
from reedcrew.grants.reports.words import hours_text
from reedcrew.stands.models import Quadrat

Cell = str | int | float | Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A name for a file or a sheet, the names of the columns, and rows of as many cells; None is not known."""

    name: str
    head: Sequence[str]
    rows: Sequence[Sequence[Any]]  # of Cell


def summary(report: Report) -> Table:
    """Every sum of a report, one a row, with its unit and the limits of its 95 % interval where it has them."""
    head = ("part", "of", "what", "value", "unit", "lower 95 %", "upper 95 %")
    return Table(name="summary", head=head, rows=list(_summary_rows(report)))


def tables(report: Report) -> list[Table]:
    """All of a report but its lines."""
    makers = (summary, _days, _people, _hours, _rates, _values, _stands, _tallies, _quadrats, _loads)
    return [make(report) for make in (*makers, _corrections, _safety)]


def plain(value: float) -> Decimal:
    """A measured number with six significant digits, which is more than any survey bears."""
    return Decimal(f"{value:.6g}")


# --- Private ---------------------------------------------------------------------------------------------------------


def _summary_rows(report: Report) -> Iterator[Sequence[Cell]]:
    grant = report.scope.grant
    for what, text in (
        ("group", report.group),
        ("grant", grant.name),
        ("funder", grant.funder),
        ("grant number", grant.number),
        ("first day", report.scope.first.isoformat()),
        ("last day", report.scope.last.isoformat()),
        ("rounding of starts and ends", grant.rounding),
        ("made at", report.made_at.isoformat(timespec="seconds")),
    ):
        yield "report", "", what, text, "", None, None
    yield from _hours_rows("hours", "all", report.hours)
    yield "hours", "all", "people", len(report.people), "people", None, None
    yield "hours", "all", "work days", len(report.days), "days", None, None
    yield "hours", "all", "work days not approved", len(report.unapproved), "days", None, None
    for kind in report.by_kind:
        yield from _hours_rows("hours", f"{kind.kind_word}, {kind.stand} ({kind.site})", kind.hours)
    for role in report.by_role:
        rate = "no rate" if role.full is None else f"{role.full:f} {report.currency}/h from {role.since}"
        of = f"{role.role_word}, {rate}"
        yield "value", of, "hours counted", Decimal(hours_text(role.hours.counted)), "h", None, None
        yield "value", of, "value", None if role.hourly is None else role.hours.value, report.currency, None, None
    yield "value", "all", "value", report.hours.value, report.currency, None, None
    yield "value", "all", "match to bring in the whole grant", grant.match_target, report.currency, None, None
    yield "value", "all", "hours without a rate", Decimal(hours_text(report.hours.unvalued)), "h", None, None
    stems = report.stems
    yield "stems", "all", "stems removed", stems.stems, "stems", stems.low, stems.high
    yield "stems", "all", "work days without a tally", stems.untallied, "days", None, None
    yield "area", "all", "area of the zones that were cut", report.area_m2, "m²", None, None
    for line in report.stands:
        of, stems = f"{line.stand} ({line.site})", line.stems
        yield "stems", of, "stems removed", stems.stems, "stems", stems.low, stems.high
        yield "area", of, "area of the zones that were cut", line.area_m2, "m²", None, None
        yield "area", of, "zones of unknown area", len(line.zones_without_area), "zones", None, None
        if change := line.change:
            for word, found in (("earlier", change.earlier), ("later", change.later)):
                yield _density_row(of, f"density, {word} survey {found.on}", found)
            ratio, low, high = (
                None if each is None else plain(each) for each in (change.ratio, change.low, change.high)
            )
            yield "density", of, "later ÷ earlier", ratio, "", low, high
        elif line.only:
            yield _density_row(of, f"density, only survey {line.only.on}", line.only)
    for load in report.loads:
        of = f"{load.kind_word}, {'with' if load.seed_heads else 'without'} seed heads"
        yield "loads", of, "piles or bags", load.count, "", None, None
        if load.kind == Load.Kind.BAGS:
            yield "loads", of, "taken on after their time in the sun", load.moved_on, "", None, None
    for word in dict.fromkeys(each.kind for each in report.safety):
        count = sum(each.count for each in report.safety if each.kind == word)
        yield "safety", word, "events", count, "", None, None


def _hours_rows(part: str, of: str, hours: Hours) -> Iterator[Sequence[Cell]]:
    yield part, of, "lines", hours.entries, "lines", None, None
    yield part, of, "minutes", hours.minutes, "min", None, None
    yield part, of, "minutes counted", hours.counted, "min", None, None
    yield part, of, "hours counted", Decimal(hours_text(hours.counted)), "h", None, None


def _density_row(of: str, what: str, found: Density) -> Sequence[Cell]:
    low, high = (None if each is None else plain(each) for each in (found.low, found.high))
    return "density", of, what, plain(found.value), "stems/m²", low, high


def _days(report: Report) -> Table:
    head = (
        *("day", "date", "work day", "stand", "site", "people", "lines", "minutes", "minutes counted", "value"),
        *("currency", "minutes that do not count here", "sign-ins", "first sign-in", "last sign-out", "approved by"),
        *("approved at", "corrections", "stems", "lower 95 %", "upper 95 %", "tallies", "piles or bags"),
    )
    rows = [
        (
            *(day.day_id, day.date.isoformat(), day.title, day.stand, day.site, day.people, day.hours.entries),
            *(day.hours.minutes, day.hours.counted, day.hours.value, report.currency, day.elsewhere, day.sign_ins),
            *(_moment(day.first_in), _moment(day.last_out), day.approved_by, _moment(day.approved_at)),
            *(day.corrections, *_known(day.stems.tallies, day.stems.stems, day.stems.low, day.stems.high)),
            *(day.stems.tallies, day.loads),
        )
        for day in report.days
    ]
    return Table(name="days", head=head, rows=rows)


def _known(tallies: int, *values: int) -> Sequence[Cell]:
    """Stems of a day without a tally are unknown, not 0."""
    return values if tallies else [None] * len(values)


def _people(report: Report) -> Table:
    named = report.scope.grant.names_required
    head = ("person", *(["name"] if named else []), "days", "lines", "minutes", "minutes counted", "value", "currency")
    rows = [
        (
            *(each.code, *([each.name] if named else []), each.days, each.hours.entries),
            *(each.hours.minutes, each.hours.counted, each.hours.value, report.currency),
        )
        for each in report.people
    ]
    return Table(name="people", head=head, rows=rows)


def _hours(report: Report) -> Table:
    head = ("kind", "stand", "site", "people", "days", "lines", "minutes", "minutes counted", "value", "currency")
    rows = [
        (
            *(each.kind_word, each.stand, each.site, each.people, each.days, each.hours.entries),
            *(each.hours.minutes, each.hours.counted, each.hours.value, report.currency),
        )
        for each in report.by_kind
    ]
    return Table(name="hours", head=head, rows=rows)


def _rates(report: Report) -> Table:
    head = ("rate", "role", "from", "hourly value", "benefits %", "currency", "source", "date of the source")
    recorded = HourlyRate.objects.for_grant(report.scope.grant).filter(currency=report.currency)
    rows = [
        (
            *(f"R{each.pk}", each.get_role_display(), each.since.isoformat(), each.hourly, each.fringe_percent),
            *(each.currency, each.source, each.source_date.isoformat()),
        )
        for each in recorded
    ]
    return Table(name="rates", head=head, rows=rows)


def _values(report: Report) -> Table:
    head = ("role", "hourly value with benefits", "from", "minutes counted", "value", "currency", "source")
    rows = [
        (
            *(each.role_word, each.full, each.since.isoformat() if each.since else None, each.hours.counted),
            *(None if each.hourly is None else each.hours.value, report.currency, each.source),
        )
        for each in report.by_role
    ]
    return Table(name="values", head=head, rows=rows)


def _stands(report: Report) -> Table:
    head = (
        *("stand", "site", "days", "stems", "lower 95 %", "upper 95 %", "area of zones cut m²", "zones cut"),
        *("zones of unknown area", "earlier survey", "earlier stems/m²", "later survey", "later stems/m²"),
        *("later ÷ earlier", "ratio lower 95 %", "ratio upper 95 %", "zones compared"),
    )
    rows = []
    for line in report.stands:
        change = line.change
        compared: list[Cell] = [None] * 8
        if change:
            ratio = [None if each is None else plain(each) for each in (change.ratio, change.low, change.high)]
            compared = [
                *(change.earlier.on.isoformat(), plain(change.earlier.value)),
                *(change.later.on.isoformat(), plain(change.later.value), *ratio, ", ".join(change.zones)),
            ]
        rows.append(
            (
                *(line.stand, line.site, line.days),
                *_known(line.stems.tallies, line.stems.stems, line.stems.low, line.stems.high),
                *(line.area_m2, ", ".join(line.zones), ", ".join(line.zones_without_area), *compared),
            )
        )
    return Table(name="stands", head=head, rows=rows)


def _tallies(report: Report) -> Table:
    head = ("tally", "day", "date", "stand", "zone", "area of the zone m²", "how", "stems", "lower 95 %", "upper 95 %")
    found = report.scope.tallies().order_by("day__date", "day", "pk").select_related("zone", "day", "day__stand")
    rows = [
        (
            *(str(each.pk), each.day_id, each.day.date.isoformat(), each.day.stand.name, each.zone.name),
            *(each.zone.area_m2, each.method, each.stems, each.stems_low, each.stems_high),
        )
        for each in found.iterator(chunk_size=500)
    ]
    return Table(name="tallies", head=head, rows=rows)


def _quadrats(report: Report) -> Table:
    """The counts behind each density."""
    head = ("stand", "survey", "zone", "area of the zone m²", "quadrat m²", "quadrat", "stems", "compared")
    surveys: dict[int, set[str]] = {}
    for line in report.stands:
        for found in (line.change.earlier, line.change.later) if line.change else ():
            surveys[found.survey_id] = set(line.change.zones if line.change else ())
    columns = (
        *("survey__stand__name", "survey__surveyed_on", "zone__name", "zone__area_m2", "survey__quadrat_m2"),
        *("number", "stems", "survey"),
    )
    quadrats = Quadrat.objects.filter(survey__in=surveys).order_by(
        "survey__stand__name", "survey__surveyed_on", "survey", "zone__name", "number"
    )
    rows = [
        (stand, on.isoformat(), zone, area, size, number, stems, "yes" if zone in surveys[survey] else "no")
        for stand, on, zone, area, size, number, stems, survey in quadrats.values_list(*columns)
    ]
    return Table(name="quadrats", head=head, rows=rows)


def _loads(report: Report) -> Table:
    head = (
        *("load", "day", "date", "as", "piles or bags", "seed heads", "where", "in the sun until"),
        *("taken on at", "taken on by", "taken on to"),
    )
    codes = codes_of_accounts(report.scope.grant.group_id)
    found = report.scope.loads().order_by("day__date", "day", "pk").select_related("day")
    rows = [
        (
            *(str(each.pk), each.day_id, each.day.date.isoformat(), each.get_kind_display(), each.count),
            *("yes" if each.seed_heads else "no", each.place),
            each.sun_until.isoformat() if each.sun_until else None,
            *(
                _moment(each.moved_on_at),
                codes.get(each.moved_on_by_id, UNKNOWN_PERSON) if each.moved_on_by_id else None,
            ),
            each.moved_on_to or None,
        )
        for each in found
    ]
    return Table(name="loads", head=head, rows=rows)


def _corrections(report: Report) -> Table:
    head = ("entry", "corrects", "date", "day", "person", "minutes before", "minutes after", "reason", "by", "at")
    rows = [
        (
            *(each.entry, each.corrects, each.date.isoformat(), each.day_id, each.person),
            *(each.before, each.after, each.reason, each.by, _moment(each.at)),
        )
        for each in report.corrections
    ]
    return Table(name="corrections", head=head, rows=rows)


def _safety(report: Report) -> Table:
    rows = [(each.day_id, each.date.isoformat(), each.kind, each.count) for each in report.safety]
    return Table(name="safety", head=("day", "date", "kind", "events"), rows=rows)


def _moment(at: datetime.datetime | None) -> str | None:
    return at.astimezone(datetime.UTC).isoformat(timespec="seconds") if at else None
