"""eml.xml: what the profile of GBIF asks for, in its order, and a box that is right at the 180th meridian too."""

from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from reedcrew.grants.models import Licence
from reedcrew.grants.open_data.eml import eml_document
from reedcrew.grants.open_data.licences import TERMS
from reedcrew.grants.open_data.rows import open_records
from reedcrew.trade.blurring import Blurring
from tests import factories
from tests.factories import NOW
from tests.grants.open_data.shore_group import make_open_group

pytestmark = pytest.mark.django_db


def read(group, *, licence=Licence.CC_BY, blurring=Blurring.EXACT) -> ET.Element:
    return ET.fromstring(eml_document(open_records(group, licence, blurring), NOW))


def text_at(root: ET.Element, path: str) -> str:
    return "".join(root.find(path).itertext()).strip()


def box_of(root: ET.Element) -> list[float]:
    """West, south, east, north."""
    box = "dataset/coverage/geographicCoverage/boundingCoordinates"
    return [float(text_at(root, f"{box}/{side}BoundingCoordinate")) for side in ("west", "south", "east", "north")]


def test_what_the_profile_requires_is_there_and_in_its_order():
    """GBIF metadata profile 1.3 of EML 2.2.0: title, creator, pubDate, abstract and contact are required, in a
    sequence; packageId, system and scope are required of the root."""
    root = read(make_open_group().group)
    assert root.tag == "{https://eml.ecoinformatics.org/eml-2.2.0}eml"
    assert root.get("scope") == "system"
    assert root.get("packageId")
    assert root.get("system")
    dataset = root.find("dataset")
    assert [child.tag for child in dataset] == [
        *("alternateIdentifier", "title", "creator", "metadataProvider", "pubDate", "language", "abstract"),
        *("keywordSet", "intellectualRights", "licensed", "coverage", "contact", "methods"),
    ]
    assert text_at(root, "dataset/pubDate") == "2026-08-10"
    assert text_at(root, "dataset/creator/organizationName") == "Shore Friends"
    assert text_at(root, "dataset/contact/organizationName") == "Shore Friends"
    assert [
        text_at(root, f"dataset/coverage/temporalCoverage/rangeOfDates/{end}") for end in ("beginDate", "endDate")
    ] == [
        "2026-07-10",
        "2026-08-01",
    ]


@pytest.mark.parametrize("licence", list(TERMS))
def test_the_licence_is_named_as_programs_read_it(licence):
    root = read(factories.make_group(), licence=licence)
    assert text_at(root, "dataset/licensed/identifier") == licence.value
    link = root.find("dataset/intellectualRights/para/ulink")
    assert link.get("url") == text_at(root, "dataset/licensed/url") == TERMS[licence].address


def test_a_blurred_box_is_around_the_published_places():
    """The stands lie from -76.5001 to -76.5 and from 44.25025 to 44.251: middles of cells of 0.1°."""
    group = make_open_group().group
    assert box_of(read(group)) == [-76.5001, 44.25025, -76.5, 44.251]
    root = read(group, blurring=Blurring.COARSE)
    assert box_of(root) == [-76.55, 44.25, -76.45, 44.25]
    assert "grid of 0.1 degrees" in text_at(root, "dataset/abstract")


def test_a_box_over_the_180th_meridian_has_west_greater_than_east():
    """RFC 7946, 5.2 has Fiji as its example; the way round through Greenwich would hold half the world."""
    group = factories.make_group()
    for lon in ("179.2", "-179.4"):
        site = factories.make_site(group, longitude=Decimal(lon), latitude=Decimal("-17.5"))
        factories.make_stand(group, site=site)
    assert box_of(read(group)) == [179.2, -17.5, -179.4, -17.5]


def test_a_name_with_signs_of_xml_stays_a_name():
    root = read(factories.make_group(name='Reed & <Friends> "of the bay"'))
    assert text_at(root, "dataset/creator/organizationName") == 'Reed & <Friends> "of the bay"'
