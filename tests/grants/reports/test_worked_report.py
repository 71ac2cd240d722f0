"""Every figure of README.md, in every form of the report."""

import csv
import datetime
import hashlib
import io
import math
import re
import statistics
import zipfile
from collections import defaultdict
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from django.utils import translation
from pypdf import PdfReader
from scipy.stats import norm, t

from reedcrew.fieldbook.models import DayPhoto
from reedcrew.grants.errors import LedgerMoved
from reedcrew.grants.exports.making import WRITERS
from reedcrew.grants.exports.xlsx_file import write_workbook
from reedcrew.grants.models import Claim, HourEntry
from reedcrew.grants.reports import Report, make_report
from reedcrew.grants.reports.charts import hours_chart
from tests import factories
from tests.grants.reports.worked import BAD_TEXT, LINES, MADE_AT, PRIVATE_TEXT, Worked, worked

pytestmark = pytest.mark.django_db

QUERIES = 25  # of a report

SUMS = {"lines": "6", "minutes": "750", "minutes counted": "750", "hours counted": "12.50", "people": "3"}


@pytest.fixture
def rows(settings: Any, tmp_path: Path) -> Worked:
    settings.MEDIA_ROOT = tmp_path / "media"
    return worked()


def report_of(rows: Worked) -> Report:
    return make_report(rows.grant, first=rows.grant.starts_on, last=rows.grant.ends_on, at=MADE_AT)


def written(form: str, report: Report, folder: Path) -> Path:
    path = folder / f"report-{form}"
    WRITERS[form](report, path)
    return path


def table_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))


def test_a_chart_names_the_months_as_people_do(rows):
    assert [bar.label for bar in hours_chart(report_of(rows)).bars] == ["Aug.\n2026", "Sept.\n2026"]
    with translation.override("fr"):
        assert [bar.label for bar in hours_chart(report_of(rows)).bars] == ["août\n2026", "sept.\n2026"]


def values_of(table: list[dict[str, str]], part: str, of: str) -> dict[str, str]:
    return {row["what"]: row["value"] for row in table if (row["part"], row["of"]) == (part, of)}


def test_the_report_has_the_figures_of_the_calculator(rows: Worked):
    report = report_of(rows)
    hours = report.hours
    assert (hours.entries, hours.minutes, hours.counted, hours.value, hours.unvalued) == (
        *(LINES, 750, 750),
        *(Decimal("259.65"), 30),
    )
    assert {(each.role, each.full, each.hours.counted, each.hours.value) for each in report.by_role} == {
        ("lead", Decimal("32.058"), 255, Decimal("136.25")),
        ("crew", Decimal("15.84"), 225, Decimal("59.40")),
        ("crew", Decimal("16"), 240, Decimal("64.00")),
        ("support", None, 30, Decimal("0.00")),
    }
    assert [(each.kind, each.people, each.days, each.hours.counted) for each in report.by_kind] == [
        ("field", 3, 2, 675),
        ("travel", 1, 1, 45),
        ("preparation", 1, 1, 30),
    ]
    people = {each.code: (each.name, each.days, each.hours.counted) for each in report.people}
    assert people == {rows.ann.code: ("", 1, 255), rows.ben.code: ("", 2, 360), rows.cid.code: ("", 1, 135)}
    assert [(day.people, day.hours.counted, day.elsewhere, day.sign_ins, day.corrections) for day in report.days] == [
        (2, 480, 60, 2, 0),
        (2, 270, 0, 0, 1),
    ]
    assert [(day.approved_by, day.loads) for day in report.days] == [(rows.coordinator.code, 3), ("", 5)]
    assert [(line.before, line.after, line.person) for line in report.corrections] == [(180, 60, rows.cid.code)]
    bags, piles = report.loads
    assert (bags.count, bags.seed_heads, bags.sun_until) == (5, True, datetime.date(2026, 9, 26))
    assert (bags.moved_on, bags.moved_on_to, bags.moved_on_by) == (5, ("County yard",), (rows.coordinator.code,))
    assert bags.moved_on_last == datetime.date(2026, 10, 3)
    assert (piles.count, piles.sun_until, piles.moved_on) == (3, None, 0)


def test_incidents_are_counted_and_their_words_are_in_no_form(rows: Worked, tmp_path: Path):
    report = report_of(rows)
    assert [(each.date, each.kind, each.count) for each in report.safety] == [
        (rows.days[1].date, "injury", 1),
        (rows.days[1].date, "near miss", 2),
    ]
    with zipfile.ZipFile(written("bundle", report, tmp_path)) as bundle:
        texts = [bundle.read(name).decode() for name in bundle.namelist() if name.endswith((".csv", ".txt"))]
        pages = PdfReader(io.BytesIO(bundle.read("report.pdf"))).pages
    assert "near miss" in "".join(texts)
    assert PRIVATE_TEXT not in "".join([*texts, *(page.extract_text() for page in pages)])


def test_photos_of_the_day_stand_beside_those_of_checks(rows: Worked, tmp_path: Path):
    report = report_of(rows)
    assert [(each.caption, each.on) for each in report.photos] == [
        ("Bay stand, A: before the work", rows.days[0].date),
        ("Bay stand, A: after the work", rows.days[0].date),
    ]
    with zipfile.ZipFile(written("bundle", report, tmp_path)) as bundle:
        kept = [bundle.read(f"pictures/{each.name}.jpg") for each in report.photos]
    shown = [Path(photo.picture.path).read_bytes() for photo in DayPhoto.objects.order_by("entered_at")]
    assert kept == [shown[0], shown[2]]


def test_stems_area_and_density_have_their_intervals(rows: Worked):
    report = report_of(rows)
    assert (report.stems.stems, report.stems.low, report.stems.high) == (2_000, 1_900, 2_100)
    (line,) = report.stands
    assert (line.area_m2, line.zones, line.zones_without_area) == (Decimal(120), ("A", "B"), ("B",))
    change = line.change
    assert change is not None
    assert (change.zones, change.earlier.value, change.later.value) == (("A",), 5, 2)
    assert change.earlier.low == pytest.approx(5 - 1.27740, abs=1e-5)
    assert change.later.high == pytest.approx(2 + 1.27740, abs=1e-5)
    assert (change.ratio, change.low, change.high) == pytest.approx((0.4, 0.2619, 0.6110), abs=5e-5)


def test_a_shorter_period_counts_its_own_days_alone(rows: Worked):
    report = make_report(rows.grant, first=rows.days[1].date, last=rows.days[1].date, at=MADE_AT)
    assert (report.hours.counted, report.hours.value, len(report.people)) == (270, Decimal("64.00"), 2)
    assert (report.stems.stems, report.loads[0].count, len(report.loads)) == (1_600, 5, 1)


def test_the_csv_files_keep_to_rfc_4180_and_run_nothing(rows: Worked, tmp_path: Path):
    report = report_of(rows)
    data = written("lines", report, tmp_path).read_bytes()
    text = data.decode("utf-8-sig")
    # By hand: records end in CR LF; a field with a comma or a quote stands in quotes, and quotes inside are doubled.
    records = text.split("\r\n")
    assert records.pop() == ""
    assert not any("\n" in record or "\r" in record for record in records)
    field = r'(?:"(?:[^"]|"")*"|[^",]*)'
    assert all(re.fullmatch(rf"{field}(?:,{field})*", record) for record in records)
    lines = table_of(data)
    assert len(records) == LINES + 1
    assert {len(line) for line in lines} == {len(records[0].split(","))}
    assert [line["value"] for line in lines] == ["136.25", "59.40", "", "12.00", "16.00", "36.00"]
    assert [line["reason"] for line in lines if line["corrects"]] == [f"'{BAD_TEXT}"]
    assert not any(cell.startswith(("=", "+", "-", "@", "\t")) for line in lines for cell in line.values())
    assert "@" not in text.replace("'@", "")  # nobody's mail address
    summary = table_of(written("summary", report, tmp_path).read_bytes())
    assert values_of(summary, "hours", "all").items() >= SUMS.items()
    assert values_of(summary, "value", "all") == {
        **{"value": "259.65", "hours without a rate": "0.50"},
        "match to bring in the whole grant": "",
    }


def test_names_are_in_a_file_only_where_the_funder_requires_them(rows: Worked, tmp_path: Path):
    assert "Ann" not in written("lines", report_of(rows), tmp_path).read_text(encoding="utf-8-sig")
    rows.grant.names_required = True
    lines = table_of(written("lines", report_of(rows), tmp_path).read_bytes())
    assert {line["name"] for line in lines} == {"Ann", "Ben", "Cid"}


def test_the_workbook_opens_elsewhere_with_the_same_sums_and_no_formula(rows: Worked, tmp_path: Path):
    path = tmp_path / "report.xlsx"
    write_workbook(report_of(rows), path, rows_a_sheet=5)
    book = openpyxl.load_workbook(path)
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert not any(cell.data_type == "f" or cell.hyperlink for cell in cells)
    assert f"'{BAD_TEXT}" in {cell.value for cell in cells}
    assert [name for name in book.sheetnames if name.startswith("lines")] == ["lines", "lines 2"]
    head, *lines = (row for name in ("lines", "lines 2") for row in book[name].iter_rows(values_only=True))
    lines = [dict(zip(head, line, strict=True)) for line in lines if line != head]
    assert len(lines) == LINES
    assert sum(line["minutes counted"] for line in lines) == 750
    assert round(sum(line["value"] or 0 for line in lines), 2) == 259.65
    found = {(part, of, what): value for part, of, what, value, *_ in book["summary"].iter_rows(values_only=True)}
    assert (found["value", "all", "value"], found["stems", "all", "stems removed"]) == (259.65, 2_000)


def test_the_paper_says_the_sums_of_the_csv(rows: Worked, tmp_path: Path):
    report = report_of(rows)
    pages = PdfReader(written("paper", report, tmp_path)).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    sums = values_of(table_of(written("summary", report, tmp_path).read_bytes()), "hours", "all")
    for expected in (
        f"{sums['hours counted']} h",
        "259.65 USD",
        "1,900 to 2,100",
        "136.25 USD",
        "0.400 (0.262 to 0.611)",
    ):
        assert expected in text
    for expected in (
        "1 work day is not approved yet",
        "0.50 h have no recorded rate",
        "1.00 h of the day do not count",
    ):
        assert expected in text


def test_every_sum_is_worked_out_again_from_the_bundle(rows: Worked, tmp_path: Path):
    """By code of its own, as README.txt in the bundle says."""
    path = written("bundle", report_of(rows), tmp_path)
    with zipfile.ZipFile(path) as bundle:
        files = {name: bundle.read(name) for name in bundle.namelist()}
    told_sums = (line.split("  ") for line in files.pop("SHA256SUMS").decode().splitlines())
    sums = {name: digest for digest, name in told_sums}
    assert {name: hashlib.sha256(data).hexdigest() for name, data in files.items()} == sums
    tables = {name: table_of(data) for name, data in files.items() if name.endswith(".csv")}
    summary, rates = tables["summary.csv"], {row["rate"]: row for row in tables["rates.csv"]}
    counted: dict[str, int] = defaultdict(int)
    value = Decimal(0)
    for line in tables["lines.csv"]:
        start, end = (datetime.datetime.fromisoformat(line[name]) for name in ("start", "end"))
        assert (end - start).total_seconds() / 60 == int(line["minutes"])
        quarters = [math.floor((at.hour * 60 + at.minute) / 15 + 0.5) for at in (start, end)]
        minutes = 15 * (quarters[1] - quarters[0])
        assert minutes == int(line["minutes counted"])
        counted[line["person"]] += minutes
        if line["rate"]:
            rate = rates[line["rate"]]
            hourly = Decimal(rate["hourly value"]) * (1 + Decimal(rate["benefits %"]) / 100)
            worth = (Decimal(minutes) / 60 * hourly).quantize(Decimal("0.01"), ROUND_HALF_UP)
            assert worth == Decimal(line["value"])
            value += worth
    assert {row["person"]: int(row["minutes counted"]) for row in tables["people.csv"]} == counted
    assert values_of(summary, "hours", "all")["minutes counted"] == str(sum(counted.values()))
    assert values_of(summary, "value", "all")["value"] == str(value)
    for name in ("days.csv", "hours.csv", "people.csv"):
        assert sum(Decimal(row["value"]) for row in tables[name]) == value
    stems = sum(int(row["stems"]) for row in tables["tallies.csv"])
    half = math.hypot(*(int(row["stems"]) - int(row["lower 95 %"] or row["stems"]) for row in tables["tallies.csv"]))
    (told,) = (row for row in summary if (row["part"], row["of"], row["what"]) == ("stems", "all", "stems removed"))
    assert (int(told["value"]), int(told["lower 95 %"])) == (stems, math.floor(stems - half))
    _density_again(tables["quadrats.csv"], tables["stands.csv"])


def _density_again(quadrats: list[dict[str, str]], stands: list[dict[str, str]]) -> None:
    counts: dict[str, list[int]] = defaultdict(list)
    for row in quadrats:
        assert (row["compared"], row["zone"]) == ("yes", "A")
        counts[row["survey"]].append(int(row["stems"]))
    units = Decimal(quadrats[0]["area of the zone m²"]) / Decimal(quadrats[0]["quadrat m²"])
    means, errors = [], []
    for sample in (counts[day] for day in sorted(counts)):
        n = len(sample)
        means.append(statistics.fmean(sample))
        errors.append(math.sqrt(statistics.variance(sample) / n * (1 - n / float(units))))
        assert t.ppf(0.975, n - 1) * errors[-1] == pytest.approx(1.27740, abs=1e-5)
    factor = math.exp(norm.ppf(0.975) * math.hypot(*(error / mean for error, mean in zip(errors, means, strict=True))))
    (told,) = stands
    assert float(told["later ÷ earlier"]) == pytest.approx(means[1] / means[0], rel=1e-5)
    assert float(told["ratio upper 95 %"]) == pytest.approx(means[1] / means[0] * factor, rel=1e-5)


def test_a_file_is_not_given_out_when_hours_moved_meanwhile(rows: Worked, tmp_path: Path):
    report = report_of(rows)
    entry = HourEntry.objects.filter(member=rows.ann).get()
    entry.claim.delete()
    with pytest.raises(LedgerMoved):
        written("lines", report, tmp_path)


@pytest.mark.parametrize("days", [2, 12])
def test_a_report_takes_the_same_queries_however_many_days(rows: Worked, days: int, count_queries):
    stand = rows.days[0].stand
    for number in range(2, days):
        date = datetime.date(2026, 9, 20) + number * datetime.timedelta(days=1)
        day = factories.make_closed_day(stand, date, tallies={stand.zones.first(): 10}, in_water=2)
        for stay in day.attendance_entries.all():
            entry = HourEntry.objects.create(
                **{"group": rows.group, "member": stay.member, "day": day, "stand": stand, "date": date},
                **{"attendance": stay, "started_at": stay.signed_in_at, "ended_at": stay.signed_out_at},
                **{"minutes": stay.minutes, "entered_by": stay.entered_by, "entered_at": MADE_AT},
            )
            Claim.objects.create(entry=entry, grant=rows.grant, claimed_by=stay.entered_by, claimed_at=MADE_AT)
    assert count_queries(lambda: report_of(rows)) == QUERIES
    assert len(report_of(rows).days) == days
