"""Words of Darwin Core as the archive writes them (tdwg.org, release of 26 May 2026), and the names of the reed.

That release replaced the words of ``occurrenceStatus``: a receiver who knows the older ones finds "present" for
"detected" and "absent" for "notDetected". They are written here and nowhere else.
"""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from reedcrew.trade.identification import Authority, Identification

DWC = "http://rs.tdwg.org/dwc/terms/"
DCTERMS = "http://purl.org/dc/terms/"
EVENT = f"{DWC}Event"
OCCURRENCE = f"{DWC}Occurrence"
# The extension that can name the occurrence that was measured, not only the event.
MEASUREMENT = "http://rs.iobis.org/obis/terms/ExtendedMeasurementOrFact"

DATUM = "EPSG:4326"
SQUARE_METRE = "square metre"
HUMAN_OBSERVATION = "HumanObservation"
ALIVE = "alive"
STEMS = "stems"


class EventType(StrEnum):
    """``eventType``; "sample" is the older example of the list in the spelling of the newer ones (convention)."""

    STAND = "project"
    VISIT = "siteVisit"
    QUADRAT = "sample"


class Status(StrEnum):
    """``occurrenceStatus``: whether reed was found in the event."""

    DETECTED = "detected"
    NOT_DETECTED = "notDetected"


class Measure(StrEnum):
    """``measurementType`` (convention; units beside it in UNITS)."""

    DENSITY = "stem density"
    REMOVED = "stem count removed"
    HEIGHT = "stem height mean"
    DEPTH = "water depth"
    AREA = "zone area"
    EFFORT = "crew effort"
    LOADS = "load count"


UNITS: Mapping[Measure, str] = MappingProxyType(
    {
        Measure.DENSITY: "stems/m²",
        Measure.REMOVED: "stems",
        Measure.HEIGHT: "cm",
        Measure.DEPTH: "cm",
        Measure.AREA: "m²",
        Measure.EFFORT: "person-hours",
        Measure.LOADS: "loads",
    }
)

_SPECIES = {
    "scientificName": "Phragmites australis (Cav.) Trin. ex Steud., 1841",
    "scientificNameAuthorship": "(Cav.) Trin. ex Steud., 1841",
    "taxonRank": "species",
    "infraspecificEpithet": "",
    "taxonID": "PHAU7",
    "establishmentMeans": "uncertain",
    "degreeOfEstablishment": "",
    "identificationRemarks": "which subspecies it is was not decided",
}
# Names: Saltonstall, Peterson and Soreng (2004), Sida 21: 690; Burke Herbarium for the introduced one. ``taxonID`` are
# USDA PLANTS symbols where they were seen; that of the introduced subspecies was not, so that none stands there.
TAXA: Mapping[Identification, Mapping[str, str]] = MappingProxyType(
    {
        Identification.INTRODUCED: {
            "scientificName": "Phragmites australis (Cav.) Trin. ex Steud. subsp. australis",
            "scientificNameAuthorship": "(Cav.) Trin. ex Steud.",
            "taxonRank": "subspecies",
            "infraspecificEpithet": "australis",
            "taxonID": "",
            "establishmentMeans": "introduced",
            "degreeOfEstablishment": "invasive",
            "identificationRemarks": "",
        },
        Identification.NATIVE: {
            "scientificName": "Phragmites australis subsp. americanus Saltonst., P.M.Peterson & Soreng",
            "scientificNameAuthorship": "Saltonst., P.M.Peterson & Soreng",
            "taxonRank": "subspecies",
            "infraspecificEpithet": "americanus",
            "taxonID": "PHAUA6",
            "establishmentMeans": "native",
            "degreeOfEstablishment": "",
            "identificationRemarks": "",
        },
        Identification.NOT_SURE: _SPECIES,
        Identification.UNCHECKED: _SPECIES,
    }
)

# What a decision about the subspecies rests on, for ``identificationVerificationStatus`` (convention).
VERIFIED: Mapping[Authority, str] = MappingProxyType(
    {
        Authority.FINDINGS: "verified by characters of the plant",
        Authority.GENETIC_TEST: "verified by genetic test",
        Authority.QUALIFIED_PERSON: "verified by a qualified person",
    }
)
UNVERIFIED = "unverified"
