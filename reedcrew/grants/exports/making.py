"""One form of a report, written to a file."""

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Protocol

from reedcrew.grants.exports.bundle import write_bundle
from reedcrew.grants.exports.csv_file import write_lines, write_table
from reedcrew.grants.exports.lines import Progress
from reedcrew.grants.exports.pdf.document import write_pdf
from reedcrew.grants.exports.tables import summary
from reedcrew.grants.exports.xlsx_file import write_workbook
from reedcrew.grants.models import ExportJob
from reedcrew.grants.reports import Report


class Writer(Protocol):
    """Writes a report to a path; tells of lines as they are written. Raises LedgerMoved."""

    def __call__(self, report: Report, path: Path, *, progress: Progress | None = None) -> None: ...


def _summary(report: Report, path: Path, *, progress: Progress | None = None) -> None:
    write_table(summary(report), path)


def _paper(report: Report, path: Path, *, progress: Progress | None = None) -> None:
    with tempfile.TemporaryDirectory(dir=path.parent) as folder:
        write_pdf(report, path, folder=Path(folder))


WRITERS: Mapping[str, Writer] = MappingProxyType(
    {
        ExportJob.Form.LINES.value: write_lines,
        ExportJob.Form.SUMMARY.value: _summary,
        ExportJob.Form.WORKBOOK.value: write_workbook,
        ExportJob.Form.PAPER.value: _paper,
        ExportJob.Form.BUNDLE.value: write_bundle,
    }
)


def write_export(
    form: str, make: Callable[[], Report], path: Path, *, begun: Callable[[Report], object], progress: Progress
) -> None:
    """Make the report and write it; ``begun`` hears of it once it is made. Raises LedgerMoved."""
    report = make()
    begun(report)
    WRITERS[form](report, path, progress=progress)
