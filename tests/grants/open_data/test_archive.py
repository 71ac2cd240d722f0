"""The Darwin Core archive, read back by python-dwca-reader, which others wrote."""

import io
import zipfile
from xml.etree import ElementTree as ET

import pytest
from dwca.read import DwCAReader
from shapely import from_wkt

from reedcrew.grants.models import Licence
from reedcrew.grants.open_data.archive import CORE, EXTENSIONS, archive_chunks, meta_document
from reedcrew.grants.open_data.rows import open_records
from reedcrew.trade.blurring import Blurring
from tests import factories
from tests.factories import NOW
from tests.grants.open_data.shore_group import SECRETS, make_open_group

pytestmark = pytest.mark.django_db

EXACT, MEDIUM = Blurring.EXACT, Blurring.MEDIUM


def term(name: str) -> str:
    """A term of Darwin Core as an archive names it."""
    return f"http://rs.tdwg.org/dwc/terms/{name}"


def archive_of(group, blurring=EXACT, licence=Licence.CC_BY) -> bytes:
    return b"".join(archive_chunks(open_records(group, licence, blurring), now=NOW))


@pytest.fixture
def open_group():
    return make_open_group()


@pytest.fixture
def read(tmp_path):
    """A function that makes a group's archive and gives its core rows and the reader's own view of the whole."""
    opened: list[DwCAReader] = []

    def reader(group, blurring=EXACT) -> DwCAReader:
        path = tmp_path / f"{len(opened)}.zip"
        path.write_bytes(archive_of(group, blurring))
        opened.append(DwCAReader(str(path), extensions_to_ignore=[]))
        return opened[-1]

    yield reader
    for each in opened:
        each.close()


def events(reader):
    return {row.data[term("eventID")]: row for row in reader}


def extension(row, name):
    return [each.data for each in row.extensions if each.rowtype.endswith(f"/{name}")]


def test_the_archive_reads_as_stands_with_surveys_and_days(read, open_group):
    reader = read(open_group.group)
    assert reader.descriptor.core.type == term("Event")
    assert [each.type for each in reader.descriptor.extensions] == [table.row_type for table in EXTENSIONS]
    found = events(reader)
    slug, stand = open_group.group.slug, open_group.stand.pk
    kinds = [row.data[term("eventType")] for row in found.values()]
    assert {kind: kinds.count(kind) for kind in kinds} == {"project": 3, "siteVisit": 3, "sample": 4}
    assert found[f"{slug}:stand:{stand}"].data[term("eventDate")] == "2026-07-10/2026-08-01"
    survey = found[f"{slug}:survey:{open_group.survey.pk}"].data
    assert survey[term("parentEventID")] == f"{slug}:stand:{stand}"
    assert (survey[term("sampleSizeValue")], survey[term("sampleSizeUnit")]) == ("3", "square metre")
    day = found[f"{slug}:day:{open_group.day.pk}"].data
    assert (day[term("eventDate")], day[term("samplingEffort")]) == ("2026-08-01", "5.50 person-hours")


def test_every_event_but_a_stand_names_a_parent_that_is_there(read, open_group):
    found = events(read(open_group.group))
    parents = {row.data[term("parentEventID")] for row in found.values()}
    assert parents - {""} <= found.keys()
    tops = {key for key, row in found.items() if not row.data[term("parentEventID")]}
    assert {found[key].data[term("eventType")] for key in tops} == {"project"}


def test_keys_are_given_once(read, open_group):
    reader = read(open_group.group)
    for row_type, key in (("Occurrence", "occurrenceID"), ("ExtendedMeasurementOrFact", "measurementID")):
        keys = [data[term(key)] for row in reader for data in extension(row, row_type)]
        assert len(keys) == len(set(keys)) > 0
    assert len({row.id for row in reader}) == len(list(reader))


def test_the_reed_has_the_names_and_words_of_the_standard(read, open_group):
    found = events(read(open_group.group))
    slug = open_group.group.slug
    (reed,) = extension(found[f"{slug}:stand:{open_group.stand.pk}"], "Occurrence")
    assert reed[term("scientificName")] == "Phragmites australis (Cav.) Trin. ex Steud. subsp. australis"
    assert (reed[term("establishmentMeans")], reed[term("degreeOfEstablishment")]) == ("introduced", "invasive")
    assert reed[term("identificationVerificationStatus")] == "verified by genetic test"
    assert (reed[term("basisOfRecord")], reed[term("occurrenceStatus")]) == ("HumanObservation", "detected")
    (native,) = extension(found[f"{slug}:stand:{open_group.native.pk}"], "Occurrence")
    assert native[term("scientificName")].endswith("subsp. americanus Saltonst., P.M.Peterson & Soreng")
    assert (native[term("taxonRank")], native[term("establishmentMeans")]) == ("subspecies", "native")
    assert extension(found[f"{slug}:stand:{open_group.unchecked.pk}"], "Occurrence") == []


def test_a_quadrat_without_a_stem_is_told_as_not_detected(read, open_group):
    quadrat = open_group.unchecked.surveys.get().quadrats.get()
    row = events(read(open_group.group))[f"{open_group.group.slug}:quadrat:{quadrat.pk}"]
    (reed,) = extension(row, "Occurrence")
    assert reed[term("occurrenceStatus")] == "notDetected"
    assert (reed[term("organismQuantity")], reed[term("organismQuantityType")]) == ("0", "stems")
    assert (reed[term("vitality")], reed[term("taxonRank")]) == ("", "species")
    assert reed[term("identificationVerificationStatus")] == "unverified"


def test_measurements_by_hand(read, open_group):
    """12, 15 and 18 stems/m²: mean 15, s = 3; 0.03 of the zone counted, t(2) = 4.303: 15 ± 7.34.

    Cut: 1,000 counted and 400 (350 to 460) give 1,400 (1,350 to 1,460). Hours: 4 + 1.5; the drive is no field work.
    """
    found = events(read(open_group.group))
    slug = open_group.group.slug
    by_type = {
        data[term("measurementType")]: data
        for key in (f"{slug}:survey:{open_group.survey.pk}", f"{slug}:day:{open_group.day.pk}")
        for data in extension(found[key], "ExtendedMeasurementOrFact")
    }
    shown = {
        kind: (data[term("measurementValue")], data[term("measurementUnit")], data[term("measurementAccuracy")])
        for kind, data in by_type.items()
    }
    assert shown == {
        "stem density": ("15", "stems/m²", "95 % limits 7.66 to 22.34"),
        "zone area": ("100", "m²", ""),
        "stem count removed": ("1400", "stems", "95 % limits 1350 to 1460"),
        "crew effort": ("5.5", "person-hours", ""),
        "load count": ("5", "loads", ""),
    }


def test_what_was_measured_of_the_reed_names_its_occurrence(read, open_group):
    quadrat = open_group.survey.quadrats.get(number=1)
    row = events(read(open_group.group))[f"{open_group.group.slug}:quadrat:{quadrat.pk}"]
    (reed,) = extension(row, "Occurrence")
    height, depth = extension(row, "ExtendedMeasurementOrFact")
    assert (height[term("measurementValue")], height[term("occurrenceID")]) == ("310", reed[term("occurrenceID")])
    assert (depth[term("measurementType")], depth[term("occurrenceID")]) == ("water depth", "")


def test_an_exact_archive_has_the_outline_and_the_quadrats_own_places(read, open_group):
    found = events(read(open_group.group))
    slug = open_group.group.slug
    stand = found[f"{slug}:stand:{open_group.stand.pk}"].data
    assert from_wkt(stand[term("footprintWKT")]).bounds == (-76.5003, 44.25, -76.4999, 44.2505)
    assert int(stand[term("coordinateUncertaintyInMeters")]) == 33  # half of 31.9 m by 55.6 m: 32.05 m
    assert stand[term("locality")] == "Hidden Cove, =Long bed"
    quadrat = found[f"{slug}:quadrat:{open_group.survey.quadrats.get(number=1).pk}"].data
    assert (quadrat[term("decimalLatitude")], quadrat[term("decimalLongitude")]) == ("44.250111", "-76.500111")
    assert quadrat[term("coordinateUncertaintyInMeters")] == ""  # nobody knows it, and 0 is no value
    native = found[f"{slug}:stand:{open_group.native.pk}"].data
    assert "meeting place" in native[term("locationRemarks")]
    assert native[term("coordinateUncertaintyInMeters")] == ""


def test_blurring_gives_a_stand_one_place_and_hides_what_would_undo_it(read, open_group):
    reader = read(open_group.group, MEDIUM)
    rows = [row.data for row in reader if row.data[term("locationID")].endswith(f":{open_group.stand.pk}")]
    places = {(row[term("decimalLatitude")], row[term("decimalLongitude")]) for row in rows}
    assert places == {("44.255", "-76.505")}
    assert {row[term("locality")] + row[term("footprintWKT")] for row in rows} == {""}
    assert all("0.01 degrees" in row[term("dataGeneralizations")] for row in rows)
    # Half a cell (555.7 m by about 399 m: 684 m) and the stand's own 33 m.
    assert {row[term("coordinateUncertaintyInMeters")] for row in rows} == {"717"}
    assert archive_of(open_group.group, MEDIUM) == archive_of(open_group.group, MEDIUM)


@pytest.mark.parametrize("blurring", [EXACT, MEDIUM])
def test_nothing_personal_is_in_it(open_group, blurring):
    with zipfile.ZipFile(io.BytesIO(archive_of(open_group.group, blurring))) as archive:
        text = "\n".join(archive.read(name).decode() for name in archive.namelist())
    person, place, meeting, mail, note = SECRETS
    assert [secret for secret in (person, meeting, mail, note) if secret in text] == []
    assert (place in text) is (blurring is EXACT)


def test_another_group_is_not_in_it(open_group):
    other = make_open_group_of_others()
    with zipfile.ZipFile(io.BytesIO(archive_of(open_group.group))) as archive:
        text = "".join(archive.read(name).decode() for name in archive.namelist())
    assert other.slug not in text


def make_open_group_of_others():
    stand = factories.make_stand(factories.make_group())
    factories.make_survey(stand, {factories.make_zone(stand): [7]})
    return stand.site.group


def test_what_is_entered_while_files_are_written_is_in_none_of_them(open_group):
    """A survey and a closed day of another stand, between the order and the writing."""
    records = open_records(open_group.group, Licence.CC_BY, EXACT)
    before = b"".join(archive_chunks(records, now=NOW))
    later = factories.make_stand(open_group.group, site=open_group.stand.site)
    zone = factories.make_zone(later)
    factories.make_survey(later, {zone: [7]})
    factories.make_closed_day(later, NOW.date(), tallies={zone: 5})
    assert b"".join(archive_chunks(records, now=NOW)) == before


def test_a_name_that_a_spreadsheet_would_run_is_text(open_group):
    open_group.stand.site.name = "=1+1"
    open_group.stand.site.save()
    with zipfile.ZipFile(io.BytesIO(archive_of(open_group.group))) as archive:
        assert '"\'=1+1, =Long bed"' in archive.read("event.csv").decode()


def test_a_group_without_a_stand_has_an_archive_too(read):
    reader = read(factories.make_group())
    assert list(reader) == []


def test_meta_xml_names_every_column_once_and_in_order():
    """Darwin Core text guide: one core with an id, extensions with a coreid, fields by index and qualified term."""
    root = ET.fromstring(meta_document())
    space = "{http://rs.tdwg.org/dwc/text/}"
    assert root.tag == f"{space}archive"
    assert root.get("metadata") == "eml.xml"
    assert [child.tag for child in root] == [f"{space}core", f"{space}extension", f"{space}extension"]
    for described, table in zip(root, (CORE, *EXTENSIONS), strict=True):
        key = "id" if table is CORE else "coreid"
        assert [child.tag for child in described][:2] == [f"{space}files", f"{space}{key}"]
        fields = described.findall(f"{space}field")
        assert [int(field.get("index", "-1")) for field in fields] == list(range(len(table.terms)))
        assert [field.get("term", "").rsplit("/", 1)[1] for field in fields] == list(table.terms)


def test_queries_do_not_grow_with_what_is_published(open_group, count_queries):
    few = count_queries(lambda: archive_of(open_group.group))
    for number in range(3):
        stand = factories.make_stand(open_group.group, site=open_group.stand.site)
        zone = factories.make_zone(stand)
        factories.make_survey(stand, {zone: list(range(number, 9))})
        factories.make_closed_day(stand, NOW.date(), tallies={zone: 5}, in_water=2)
    assert count_queries(lambda: archive_of(open_group.group)) == few
