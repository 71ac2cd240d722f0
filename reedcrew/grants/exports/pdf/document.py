"""A report on paper, as plain data for report.typ: everything is text already."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from django.template.loader import render_to_string
from django.utils.formats import number_format
from django.utils.translation import get_language, gettext

from reedcrew.crews.paper.typeset import Sheet, typeset
from reedcrew.grants.exports.pdf.words import report_words
from reedcrew.grants.models import ROUNDINGS
from reedcrew.grants.reports import Report
from reedcrew.grants.reports.charts import CHARTS, parts_of
from reedcrew.grants.reports.records import Density, Hours, StandLine, Stems
from reedcrew.grants.reports.words import after_the_sun, evidence, hours_text, methods, notes
from reedcrew.stands.queries.drawing import Drawing, drawing_of
from reedcrew.stands.queries.map import MappedStand
from reedcrew.web.charts import Theme, draw
from reedcrew.web.times import day_text, moment_text

Document = dict[str, Any]
TEMPLATE = Path(__file__).with_name("report.typ")


def write_pdf(report: Report, path: Path, *, folder: Path, sheet: Sheet = Sheet.A4) -> None:
    """Write the paper of a report; ``folder`` is an empty one for its pictures."""
    draw_pictures(report, folder)
    made = typeset(document(report), sheet=sheet, at=report.made_at, template=TEMPLATE, pictures_in=folder)
    path.write_bytes(made)


def draw_pictures(report: Report, folder: Path) -> None:
    """The charts, the map and the photos as files, by the names that the document gives."""
    if report.days:
        for name, chart in CHARTS.items():
            (folder / f"{name}.svg").write_bytes(draw(chart(report), Theme.LIGHT))
    for mapped in _drawn(report):
        values = {"sheet": _drawing(mapped), "north": gettext("N")}
        path = folder / f"map-{mapped.stand.pk}.svg"
        path.write_text(render_to_string("grants/pdf/map.svg", values), encoding="utf-8")
    for photo in report.photos:
        (folder / f"{photo.name}.jpg").write_bytes(photo.read())


def document(report: Report) -> Document:
    """Everything on the paper."""
    grant = report.scope.grant
    return {
        "words": report_words(),
        "language": (get_language() or "en")[:2],
        "group": report.group,
        "title": grant.name,
        "period": f"{day_text(report.scope.first)} – {day_text(report.scope.last)}",
        "made": gettext("Made %(when)s") % {"when": moment_text(report.made_at, "UTC")},
        "facts": _facts(report),
        "notes": notes(report),
        "charts": list(CHARTS) if report.days else [],
        "parts": _parts(report),
        "hours": _hours(report),
        "value": _value(report),
        "stems": _stands(report),
        "density": _density(report),
        "loads": _loads(report),
        "safety": _safety(report),
        "maps": [
            {"file": f"map-{mapped.stand.pk}.svg", "text": f"{mapped.stand.name}, {mapped.stand.site.name}"}
            for mapped in _drawn(report)
        ],
        "zones": _zones(report),
        "photos": [
            {"file": f"{each.name}.jpg", "text": f"{each.caption}, {day_text(each.on)}"} for each in report.photos
        ],
        "days": _days(report),
        "corrections": _corrections(report),
        "people": _people(report),
        "how": methods(report),
    }


# --- Private ---------------------------------------------------------------------------------------------------------


def _n(value: float | Decimal, places: int = 0) -> str:
    shown = round(value, places) if isinstance(value, float) else value
    return number_format(shown, decimal_pos=places, force_grouping=True)


def _h(minutes: int) -> str:
    return number_format(Decimal(hours_text(minutes)), decimal_pos=2, force_grouping=True)


def _money(report: Report, hours: Hours) -> str:
    if hours.counted and hours.counted == hours.unvalued:
        return gettext("no rate")
    return f"{_n(hours.value, 2)} {report.currency}"


def _span(low: float | None, high: float | None, places: int = 0) -> str:
    if low is None or high is None:
        return gettext("none can be claimed")
    return gettext("%(low)s to %(high)s") % {"low": _n(low, places), "high": _n(high, places)}


def _stems(stems: Stems) -> Sequence[str]:
    if not stems.tallies:
        return gettext("no tally"), "–"
    return _n(stems.stems), gettext("counted") if stems.low == stems.high else _span(stems.low, stems.high)


def _table(head: Sequence[str], rows: Iterable[Sequence[str]], foot: Sequence[str] = ()) -> Document:
    return {"head": list(head), "rows": [list(row) for row in rows], "foot": list(foot)}


def _facts(report: Report) -> list[Document]:
    grant, stems = report.scope.grant, report.stems
    pairs = [
        (gettext("Funder"), grant.funder),
        (gettext("Grant number"), grant.number or "–"),
        (gettext("Hours counted"), f"{_h(report.hours.counted)} h"),
        (gettext("Value"), _money(report, report.hours)),
        (gettext("People"), _n(len(report.people))),
        (gettext("Work days"), _n(len(report.days))),
        (gettext("Of these approved"), _n(report.approved)),
        (gettext("Stems removed"), _stems(stems)[0]),
        (gettext("95 % interval of the stems"), _stems(stems)[1]),
        (gettext("Area of the zones that were cut"), f"{_n(report.area_m2, 1)} m²"),
        (gettext("Rounding of starts and ends"), str(dict(ROUNDINGS)[grant.rounding])),
    ]
    if grant.match_target is not None:
        pairs.insert(4, (gettext("Match to bring in the whole grant"), f"{_n(grant.match_target, 2)} {grant.currency}"))
    return [{"label": label, "text": text} for label, text in pairs]


def _parts(report: Report) -> Document:
    head = (gettext("Month or year"), gettext("Hours counted"), gettext("Stems removed"), gettext("95 % interval"))
    rows = []
    for part in parts_of(report):
        stems, low, high = part.stems
        tallies = sum(day.stems.tallies for day in part.days)
        known = Stems(stems=stems, low=low, high=high, tallies=tallies, untallied=part.untallied)
        rows.append((part.title, _h(part.counted), *(_stems(known) if part.days else ("–", "–"))))
    return _table(head, rows)


def _hours(report: Report) -> Document:
    head = (gettext("Stand"), gettext("Kind"), gettext("People"), gettext("Days"), gettext("Hours"), gettext("Value"))
    rows = [
        (
            *(f"{each.stand}, {each.site}", each.kind_word, _n(each.people), _n(each.days)),
            *(_h(each.hours.counted), _money(report, each.hours)),
        )
        for each in report.by_kind
    ]
    all_days = (gettext("All"), "", _n(len(report.people)), _n(len(report.days)))
    return _table(head, rows, (*all_days, _h(report.hours.counted), _money(report, report.hours)))


def _value(report: Report) -> Document:
    head = (gettext("Role"), gettext("Hourly value"), gettext("Source"), gettext("Hours"), gettext("Value"))
    rows = []
    for each in report.by_role:
        if each.hourly is None or each.full is None or each.since is None or each.source_date is None:
            rows.append((each.role_word, gettext("no rate"), "–", _h(each.hours.counted), "–"))
            continue
        rate = gettext("%(rate)s from %(since)s") % {
            "rate": f"{_n(each.full, 2)} {report.currency}",
            "since": day_text(each.since),
        }
        source = f"{each.source}, {day_text(each.source_date)}"
        rows.append((each.role_word, rate, source, _h(each.hours.counted), _money(report, each.hours)))
    return _table(head, rows, (gettext("All"), "", "", _h(report.hours.counted), _money(report, report.hours)))


def _stands(report: Report) -> Document:
    head = (
        gettext("Stand"),
        gettext("Days"),
        gettext("Stems"),
        gettext("95 % interval"),
        gettext("Area, m²"),
        gettext("Zones"),
    )
    rows = [
        (f"{each.stand}, {each.site}", _n(each.days), *_stems(each.stems), _area(each), ", ".join(each.zones) or "–")
        for each in report.stands
    ]
    total = (gettext("All"), _n(len(report.days)), *_stems(report.stems), _n(report.area_m2, 1), "")
    return _table(head, rows, total)


def _area(line: StandLine) -> str:
    if not line.zones_without_area:
        return _n(line.area_m2, 1)
    unknown = ", ".join(line.zones_without_area)
    return gettext("%(area)s and %(zones)s of unknown area") % {"area": _n(line.area_m2, 1), "zones": unknown}


def _density(report: Report) -> Document:
    head = (
        gettext("Stand"),
        gettext("Earlier survey"),
        gettext("Later survey"),
        gettext("Later ÷ earlier"),
        gettext("Zones compared"),
    )
    rows = []
    for each in report.stands:
        name = f"{each.stand}, {each.site}"
        if change := each.change:
            ratio = "–" if change.ratio is None else f"{_n(change.ratio, 3)} ({_span(change.low, change.high, 3)})"
            rows.append((name, _surveyed(change.earlier), _surveyed(change.later), ratio, ", ".join(change.zones)))
        elif each.only:
            rows.append((name, _surveyed(each.only), gettext("none to compare with"), "–", "–"))
        else:
            rows.append((name, gettext("no survey with areas"), "–", "–", "–"))
    return _table(head, rows)


def _surveyed(found: Density) -> str:
    text = gettext("%(day)s: %(value)s stems/m² (%(span)s), %(n)s quadrats")
    values = {"day": day_text(found.on), "value": _n(found.value, 2), "span": _span(found.low, found.high, 2)}
    return text % {**values, "n": _n(found.quadrats)}


def _loads(report: Report) -> Document:
    head = (
        *(gettext("As"), gettext("How many"), gettext("Seed heads"), gettext("Where"), gettext("In the sun until")),
        gettext("After the sun"),
    )
    rows = [
        (
            *(each.kind_word, _n(each.count), gettext("yes") if each.seed_heads else gettext("no")),
            *("; ".join(each.places) or "–", day_text(each.sun_until) if each.sun_until else "–", after_the_sun(each)),
        )
        for each in report.loads
    ]
    return _table(head, rows)


def _safety(report: Report) -> Document:
    rows = [(day_text(each.date), each.kind, _n(each.count)) for each in report.safety]
    table = _table((gettext("Day"), gettext("Kind"), gettext("Events")), rows)
    return {**table, "text": "" if rows else gettext("No incident is recorded on these work days.")}


def _drawn(report: Report) -> list[MappedStand]:
    """Stands with anything drawn: each has a map of its own, because stands of one grant may lie far apart."""
    return [mapped for mapped in report.map.stands if mapped.outline or any(zone.outline for zone in mapped.zones)]


def _drawing(mapped: MappedStand) -> Drawing:
    zones = [(str(zone.number), zone.kind.value, zone.outline) for zone in mapped.zones if zone.outline]
    stands = [(mapped.stand.name, mapped.outline)] if mapped.outline else []
    return drawing_of(sites=[], stands=stands, zones=zones)


def _zones(report: Report) -> Document:
    head = (gettext("Number"), gettext("Zone"), gettext("Stand"), gettext("Area, m²"))
    rows = [
        (
            *(str(zone.number), zone.zone.name, f"{mapped.stand.name}, {mapped.stand.site.name}"),
            gettext("not known") if zone.zone.area_m2 is None else _n(zone.zone.area_m2, 1),
        )
        for mapped, zone in report.map.zones
    ]
    return _table(head, rows)


def _days(report: Report) -> Document:
    head = (
        *(gettext("Day"), gettext("Stand"), gettext("People"), gettext("Hours"), gettext("Value"), gettext("Stems")),
        gettext("Evidence"),
    )
    rows = [
        (
            *(f"{day_text(day.date)}\n{day.title}", day.stand, _n(day.people), _h(day.hours.counted)),
            *(_money(report, day.hours), _stems(day.stems)[0], "\n".join(evidence(day))),
        )
        for day in report.days
    ]
    total = (gettext("All"), "", _n(len(report.people)), _h(report.hours.counted), _money(report, report.hours))
    return _table(head, rows, (*total, _stems(report.stems)[0], ""))


def _corrections(report: Report) -> Document:
    head = (gettext("Day"), gettext("Person"), gettext("Before"), gettext("After"), gettext("Why"), gettext("By, when"))
    rows = [
        (
            *(day_text(each.date), each.person, f"{each.before} min", f"{each.after} min", each.reason),
            f"{each.by}, {moment_text(each.at, 'UTC')}",
        )
        for each in report.corrections
    ]
    return _table(head, rows)


def _people(report: Report) -> Document:
    named = report.scope.grant.names_required
    head = (gettext("Code"), *([gettext("Name")] if named else []), gettext("Days"), gettext("Hours"), gettext("Value"))
    rows = [
        (
            *(each.code, *([each.name] if named else []), _n(each.days)),
            *(_h(each.hours.counted), _money(report, each.hours)),
        )
        for each in report.people
    ]
    total = (gettext("All"), *([""] if named else []), "", _h(report.hours.counted), _money(report, report.hours))
    return _table(head, rows, total)
