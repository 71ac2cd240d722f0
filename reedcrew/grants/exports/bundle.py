"""A bundle: everything of a report in one zip file, with which every sum can be worked out again."""

import hashlib
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

from django.utils.translation import gettext

from reedcrew.grants.exports.csv_file import write_lines, write_table
from reedcrew.grants.exports.lines import Progress
from reedcrew.grants.exports.pdf.document import write_pdf
from reedcrew.grants.exports.tables import tables
from reedcrew.grants.reports import Report
from reedcrew.grants.reports.words import methods
from reedcrew.trade.valuation import STEP_MINUTES

CHECKSUMS = "SHA256SUMS"
BLOCK = 1 << 20


def write_bundle(report: Report, path: Path, *, progress: Progress | None = None) -> None:
    """Write the zip file. Raises LedgerMoved."""
    with tempfile.TemporaryDirectory(dir=path.parent) as name, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        folder = Path(name)
        files, pictures = folder / "files", folder / "pictures"
        files.mkdir()
        pictures.mkdir()
        write_lines(report, files / "lines.csv", progress=progress)
        for table in tables(report):
            write_table(table, files / f"{table.name}.csv")
        write_pdf(report, files / "report.pdf", folder=pictures)
        (files / "README.txt").write_text("\n".join(read_me(report)), encoding="utf-8")
        kept = [*sorted(files.iterdir()), *sorted(pictures.iterdir())]
        names = {each: each.name if each.parent == files else f"pictures/{each.name}" for each in kept}
        for each in kept:
            made.write(each, names[each])
        made.writestr(CHECKSUMS, "".join(f"{digest_of(each)}  {names[each]}\n" for each in kept))


def digest_of(path: Path) -> str:
    """SHA-256 of a file, read in blocks."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while block := file.read(BLOCK):
            digest.update(block)
    return digest.hexdigest()


def read_me(report: Report) -> Iterator[str]:
    """How every sum is worked out again, in lines of text."""
    grant = report.scope.grant
    yield f"{grant.name}, {grant.funder}"
    yield f"{report.group}, {report.scope.first.isoformat()} - {report.scope.last.isoformat()}"
    yield ""
    yield gettext("What is in it")
    for name, text in (
        ("report.pdf", gettext("the report to read and sign")),
        ("summary.csv", gettext("every sum, one a row")),
        ("lines.csv", gettext("each line of the ledger that counts")),
        ("days.csv", gettext("the work days with their evidence")),
        ("people.csv, hours.csv, values.csv", gettext("the lines added up by person, kind and stand, role and rate")),
        ("rates.csv", gettext("the hourly values that were recorded, with their sources")),
        ("tallies.csv", gettext("each tally of stems")),
        ("stands.csv, quadrats.csv", gettext("stems, area and density by stand, and the counts behind densities")),
        ("loads.csv, corrections.csv, safety.csv", gettext("material taken away, corrections, events")),
        ("pictures/", gettext("charts, map and photos")),
        (CHECKSUMS, gettext("SHA-256 of every file: sha256sum -c SHA256SUMS")),
    ):
        yield f"  {name}: {text}"
    yield ""
    yield gettext("How the files are written")
    yield gettext(
        "  CSV by RFC 4180, UTF-8 with a byte order mark; an empty field is not known. A text that a spreadsheet would "
        "run has an apostrophe before it."
    )
    yield ""
    yield gettext("How every sum is worked out again")
    step = STEP_MINUTES[grant.practice]
    for text in (
        gettext("minutes: end - start of a line in whole minutes, a begun one left out (lines.csv)."),
        gettext(
            "minutes counted: start and end of a line rounded to %(step)d minutes by the clock that they are given in, "
            "a tie up, then subtracted. With a step of 1 these are the minutes."
        )
        % {"step": step},
        gettext("hours counted: minutes counted ÷ 60, two decimals. Add minutes, not hours."),
        gettext(
            "value of a line: minutes counted ÷ 60 × hourly value × (1 + benefits %% ÷ 100) of its rate (rates.csv), "
            "rounded to hundredths, a half up. value: the sum of the lines."
        )
        % {},
        gettext("people, days, hours, values: lines.csv added up by person, day, kind and stand, role and rate."),
        gettext("people in summary.csv: different persons among lines with more than 0 minutes."),
        gettext(
            "stems: the sum of tallies.csv. Limits: the sum minus and plus the square root of the sum of squares of "
            "(stems - lower) and (upper - stems); lower is rounded down, upper up, and a tally without limits adds "
            "nothing."
        ),
        gettext("area: each zone of tallies.csv once."),
        gettext(
            "density: for the compared zones of quadrats.csv, N = area of the zone ÷ area of a quadrat; total = sum of "
            "N × mean count; ÷ sum of areas. Variance of the total: sum of N² × s² ÷ n × (1 - n ÷ N), with Student's t "
            "and Satterthwaite's degrees of freedom; the lower limit is at least the stems that were counted."
        ),
        gettext(
            "later ÷ earlier: the ratio of both totals; limits: × and ÷ exp(1.95996 × square root of the sum of "
            "squares of standard error ÷ total)."
        ),
    ):
        yield f"  {text}"
    yield ""
    yield gettext("What the numbers mean")
    for text in methods(report):
        yield f"  {text}"
    yield ""
