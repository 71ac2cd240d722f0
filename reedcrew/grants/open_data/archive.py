"""A Darwin Core archive: Event core, Occurrence and MeasurementOrFact extensions, one zip (Darwin Core text guide)."""

import csv
import datetime
import io
import zipfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import IO
from xml.etree import ElementTree as ET

from reedcrew.grants.open_data.eml import eml_document
from reedcrew.grants.open_data.rows import (
    ROWS_AT_ONCE,
    OpenRecords,
    Row,
    Value,
    event_rows,
    measurement_rows,
    occurrence_rows,
)
from reedcrew.grants.open_data.vocabulary import DCTERMS, DWC, EVENT, MEASUREMENT, OCCURRENCE
from reedcrew.web.cells import safe_cell

MEDIA_TYPE = "application/zip"
TEXT_NAMESPACE = "http://rs.tdwg.org/dwc/text/"
METADATA = "eml.xml"
OF_DUBLIN_CORE = {"license"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One file of rows. ``terms`` are its columns in their order; the first names the event of the row."""

    name: str
    row_type: str
    terms: tuple[str, ...]
    rows: Callable[[OpenRecords], Iterator[Row]]


CORE = Table(
    name="event.csv",
    row_type=EVENT,
    terms=(
        "eventID",
        "parentEventID",
        "eventType",
        "eventDate",
        "samplingProtocol",
        "sampleSizeValue",
        "sampleSizeUnit",
        "samplingEffort",
        "locationID",
        "locality",
        "decimalLatitude",
        "decimalLongitude",
        "geodeticDatum",
        "coordinateUncertaintyInMeters",
        "coordinatePrecision",
        "footprintWKT",
        "footprintSRS",
        "locationRemarks",
        "dataGeneralizations",
        "informationWithheld",
        "license",
    ),
    rows=event_rows,
)
EXTENSIONS = (
    Table(
        name="occurrence.csv",
        row_type=OCCURRENCE,
        terms=(
            "eventID",
            "occurrenceID",
            "basisOfRecord",
            "occurrenceStatus",
            "organismQuantity",
            "organismQuantityType",
            "vitality",
            "kingdom",
            "genus",
            "specificEpithet",
            "infraspecificEpithet",
            "scientificName",
            "scientificNameAuthorship",
            "taxonRank",
            "taxonID",
            "establishmentMeans",
            "degreeOfEstablishment",
            "dateIdentified",
            "identificationVerificationStatus",
            "identificationRemarks",
        ),
        rows=occurrence_rows,
    ),
    Table(
        name="measurement.csv",
        row_type=MEASUREMENT,
        terms=(
            "eventID",
            "measurementID",
            "occurrenceID",
            "measurementType",
            "measurementValue",
            "measurementUnit",
            "measurementAccuracy",
            "measurementDeterminedDate",
            "measurementMethod",
            "measurementRemarks",
        ),
        rows=measurement_rows,
    ),
)


def archive_chunks(records: OpenRecords, *, now: datetime.datetime) -> Iterator[bytes]:
    """The archive as it is written, so that it can be sent at once and is never whole in memory.

    The number of queries does not grow with the rows.
    """
    sink = _Sink()
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_DEFLATED) as archive:  # type: ignore[call-overload]  # one-way stream
        for table in (CORE, *EXTENSIONS):
            with (
                archive.open(_member(table.name, now), "w") as raw,
                io.TextIOWrapper(raw, encoding="utf-8", newline="") as text,
            ):
                for _number in _written(text, table.terms, table.rows(records)):
                    yield sink.taken()
        archive.writestr(_member("meta.xml", now), meta_document())
        archive.writestr(_member(METADATA, now), eml_document(records, now))
    yield sink.taken()


def meta_document() -> bytes:
    """meta.xml: which file has which rows, and which column which term."""
    ET.register_namespace("", TEXT_NAMESPACE)
    root = ET.Element(f"{{{TEXT_NAMESPACE}}}archive", metadata=METADATA)
    _describe(root, CORE, "core", "id")
    for table in EXTENSIONS:
        _describe(root, table, "extension", "coreid")
    ET.indent(root)
    text: bytes = ET.tostring(root, encoding="UTF-8", xml_declaration=True)
    return text


# --- Private ---------------------------------------------------------------------------------------------------------


def _member(name: str, now: datetime.datetime) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, date_time=now.timetuple()[:6])
    member.compress_type = zipfile.ZIP_DEFLATED
    return member


def _describe(root: ET.Element, table: Table, element: str, key: str) -> None:
    described = ET.SubElement(
        root,
        f"{{{TEXT_NAMESPACE}}}{element}",
        rowType=table.row_type,
        encoding="UTF-8",
        fieldsTerminatedBy=",",
        fieldsEnclosedBy='"',
        linesTerminatedBy="\\n",
        ignoreHeaderLines="1",
        dateFormat="YYYY-MM-DD",
    )
    files = ET.SubElement(described, f"{{{TEXT_NAMESPACE}}}files")
    ET.SubElement(files, f"{{{TEXT_NAMESPACE}}}location").text = table.name
    ET.SubElement(described, f"{{{TEXT_NAMESPACE}}}{key}", index="0")
    for index, term in enumerate(table.terms):
        ET.SubElement(described, f"{{{TEXT_NAMESPACE}}}field", index=str(index), term=_address(term))


def _address(term: str) -> str:
    return f"{DCTERMS if term in OF_DUBLIN_CORE else DWC}{term}"


class _Sink:
    """Keeps what is written until somebody takes it. It cannot go back, which a zip need not."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []

    def write(self, part: bytes) -> int:
        self._parts.append(bytes(part))
        return len(part)

    def flush(self) -> None:
        """Nothing waits here."""

    def taken(self) -> bytes:
        whole = b"".join(self._parts)
        self._parts.clear()
        return whole


def _written(text: IO[str], terms: tuple[str, ...], rows: Iterable[Row]) -> Iterator[int]:
    """Write the head and the rows; answers now and then with how many were written."""
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(terms)
    for number, row in enumerate(rows, 1):
        if unknown := row.keys() - set(terms):
            raise ValueError(f"no column for {', '.join(sorted(unknown))}")
        writer.writerow([_cell(row.get(term)) for term in terms])
        if number % ROWS_AT_ONCE == 0:
            yield number


def _cell(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, float | Decimal):
        return _plain(Decimal(str(value)))
    # One line a row, whatever is in a name.
    return str(safe_cell(" ".join(value.split()) if isinstance(value, str) else value))


def _plain(number: Decimal) -> str:
    """A number without an exponent and without zeros at its end."""
    written = format(number, "f")
    return written.rstrip("0").rstrip(".") if "." in written else written
