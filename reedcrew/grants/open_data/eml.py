"""eml.xml: what the archive is, from whom, under which licence (EML 2.2.0 in the profile of GBIF, version 1.3)."""

import datetime
import uuid
from xml.etree import ElementTree as ET

from django.conf import settings

from reedcrew.grants.open_data.licences import TERMS
from reedcrew.grants.open_data.rows import OpenRecords
from reedcrew.grants.open_data.stands import OpenStand, generalized, withheld
from reedcrew.grants.open_data.vocabulary import TAXA
from reedcrew.trade.identification import Identification

NAMESPACE = "https://eml.ecoinformatics.org/eml-2.2.0"
XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"
BOX_DECIMALS = 6


def eml_document(records: OpenRecords, now: datetime.datetime) -> bytes:
    """The description of the data set. The group speaks for it: no person is named, no address of one is in it."""
    ET.register_namespace("eml", NAMESPACE)
    root = ET.Element(
        f"{{{NAMESPACE}}}eml",
        {
            "packageId": f"{_dataset_id(records)}/{now.date().isoformat()}",
            "system": settings.SITE_URL,
            "scope": "system",
            XML_LANG: "en",
        },
    )
    dataset = ET.SubElement(root, "dataset")
    _add(dataset, "alternateIdentifier", _dataset_id(records))
    _add(dataset, "title", f"Common reed cut by hand: surveys and work days of {records.group.name}").set(
        XML_LANG, "en"
    )
    for role in ("creator", "metadataProvider"):
        _add(_add(dataset, role), "organizationName", records.group.name)
    _add(dataset, "pubDate", now.date().isoformat())
    _add(dataset, "language", "en")
    _abstract(dataset, records)
    keywords = _add(dataset, "keywordSet")
    for word in ("Phragmites australis", "invasive plants", "sampling event"):
        _add(keywords, "keyword", word)
    _add(keywords, "keywordThesaurus", "n/a")
    _rights(dataset, records)
    _coverage(dataset, records)
    _add(_add(dataset, "contact"), "organizationName", records.group.name)
    _methods(dataset)
    ET.indent(root)
    text: bytes = ET.tostring(root, encoding="UTF-8", xml_declaration=True)
    return text


# --- Private ---------------------------------------------------------------------------------------------------------


def _dataset_id(records: OpenRecords) -> str:
    """The same for every archive of a group on this service: its short name never changes."""
    return str(uuid.uuid5(uuid.NAMESPACE_URL, f"{settings.SITE_URL}{records.group.get_absolute_url()}"))


def _add(parent: ET.Element, name: str, text: str | None = None) -> ET.Element:
    child = ET.SubElement(parent, name)
    child.text = text
    return child


def _abstract(dataset: ET.Element, records: OpenRecords) -> None:
    abstract = _add(dataset, "abstract")
    _add(
        abstract,
        "para",
        "Stands of common reed that volunteers survey and cut by hand over several years. Events are stands, surveys "
        "with their quadrats, and closed work days. Occurrences are the reed of a stand and of each quadrat. "
        "Measurements are stem densities with their 95 % limits, stems removed, effort and loads.",
    )
    _add(
        abstract, "para", " ".join(part for part in (generalized(records.blurring), withheld(records.blurring)) if part)
    )


def _rights(dataset: ET.Element, records: OpenRecords) -> None:
    terms = TERMS[records.licence]
    para = _add(_add(dataset, "intellectualRights"), "para", "This work is licensed under ")
    link = _add(para, "ulink")
    link.set("url", terms.address)
    _add(link, "citetitle", terms.name)
    link.tail = "."
    licensed = _add(dataset, "licensed")
    _add(licensed, "licenseName", terms.name)
    _add(licensed, "url", terms.address)
    _add(licensed, "identifier", records.licence.value)


def _coverage(dataset: ET.Element, records: OpenRecords) -> None:
    stands = list(records.stands.values())
    if not stands:
        return
    coverage = _add(dataset, "coverage")
    place = _add(coverage, "geographicCoverage")
    _add(place, "geographicDescription", "The box around all stands of the data set, as exactly as they are published.")
    box = _add(place, "boundingCoordinates")
    for side, value in _box(stands).items():
        _add(box, f"{side}BoundingCoordinate", f"{value:.{BOX_DECIMALS}f}")
    if days := [day for stand in stands if stand.days for day in stand.days]:
        span = _add(_add(coverage, "temporalCoverage"), "rangeOfDates")
        for name, day in (("beginDate", min(days)), ("endDate", max(days))):
            _add(_add(span, name), "calendarDate", day.isoformat())
    taxa = _add(coverage, "taxonomicCoverage")
    for identification in sorted({stand.identification for stand in stands}, key=list(Identification).index):
        taxon = _add(taxa, "taxonomicClassification")
        _add(taxon, "taxonRankName", TAXA[identification]["taxonRank"])
        _add(taxon, "taxonRankValue", TAXA[identification]["scientificName"])


def _box(stands: list[OpenStand]) -> dict[str, float]:
    """The sides of the box around all published positions; west is greater than east where it crosses 180°.

    The box is the shorter way round: it leaves out the widest gap between neighbouring longitudes.
    """
    lons = sorted({stand.place.position[0] for stand in stands})
    lats = [stand.place.position[1] for stand in stands]
    nexts = [*lons[1:], lons[0] + 360]
    gaps = [after - before for before, after in zip(lons, nexts, strict=True)]
    widest = max(range(len(gaps)), key=lambda number: (gaps[number], number == len(gaps) - 1))
    west = lons[(widest + 1) % len(lons)]
    return {"west": west, "east": lons[widest], "north": max(lats), "south": min(lats)}


def _methods(dataset: ET.Element) -> None:
    methods = _add(dataset, "methods")
    step = _add(_add(methods, "methodStep"), "description")
    _add(
        step,
        "para",
        "Live stems are counted in quadrats placed in the zones of a stand. Density is their mean by zone, with 95 % "
        "limits by Student's t. Stems removed are counted, or bundles times the mean of a sample of bundles.",
    )
    sampling = _add(methods, "sampling")
    _add(_add(_add(sampling, "studyExtent"), "description"), "para", "Every stand of the group.")
    _add(_add(sampling, "samplingDescription"), "para", "Quadrats of one size a survey; sizes stand with each event.")
