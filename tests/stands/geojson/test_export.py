"""The file that a group takes away, judged by shapely and by a reader written from the clauses of RFC 7946."""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import shape
from shapely.geometry.polygon import LinearRing

from reedcrew.stands.models import Zone
from reedcrew.stands.queries import collection_text, features
from reedcrew.trade.outline import UnusableOutline, read_outline
from reedcrew.trade.policy import DEFAULT_POLICY
from tests.factories import NOW, make_gauge, make_group, make_level, make_member, make_site, make_stand, make_zone
from tests.stands.geojson.rfc7946 import faults_of
from tests.stands.pages import SQUARE, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]

SITE = (-76.5, 44.25)
HOLE = [[-76.4998, 44.2502], [-76.4998, 44.2504], [-76.4996, 44.2504], [-76.4996, 44.2502], [-76.4998, 44.2502]]
BESIDE = [[-76.498, 44.25], [-76.497, 44.25], [-76.497, 44.251], [-76.498, 44.251], [-76.498, 44.25]]


def exported(group, **part):
    return "".join(collection_text(features(group, DEFAULT_POLICY, NOW, **part)))


def drawn(geometry, site=SITE):
    return read_outline(json.dumps(geometry), site=site).geojson


def make_fields(group):
    """A site with a boundary, a stand with an outline, zones of one part, of two, with a hole, and without outline."""
    site = make_site(group, name="Heron Landing", outline=drawn(SQUARE), area_m2=8875)
    stand = make_stand(group, site=site, name="North bay", outline=drawn(SQUARE))
    make_zone(stand, name="Edge", outline=drawn({**SQUARE, "coordinates": [*SQUARE["coordinates"], HOLE]}))
    two = {"type": "MultiPolygon", "coordinates": [SQUARE["coordinates"], [BESIDE]]}
    make_zone(stand, name="Pools \N{HERB} “two”", outline=drawn(two))
    make_zone(stand, name="Bank", depth_cm=0)
    return stand


def test_the_file_keeps_every_clause_and_shapely_finds_it_valid():
    group = make_group()
    make_fields(group)
    text = exported(group)
    assert faults_of(text) == []
    found = json.loads(text)["features"]
    assert [one["id"].partition("-")[0] for one in found] == ["site", "boundary", "stand", "zone", "zone", "zone"]
    for one in found:
        if one["geometry"] is None:
            assert one["properties"]["name"] == "Bank"
            continue
        geometry = shape(one["geometry"])
        assert geometry.is_valid
        for part in getattr(geometry, "geoms", [geometry]):
            if part.geom_type == "Polygon":
                assert LinearRing(part.exterior.coords).is_ccw


def test_an_empty_group_has_an_empty_collection():
    text = exported(make_group())
    assert faults_of(text) == []
    assert json.loads(text)["features"] == []


def test_a_feature_tells_the_depth_today_by_the_latest_level_of_its_own_site():
    """Rule 3 of the design: 60 cm surveyed at gauge 20, gauge 35 today: 75 cm."""
    group = make_group()
    for level in (35, None, 10):
        stand = make_stand(group, site=make_site(group))
        gauge = make_gauge(stand.site)
        make_zone(stand, gauge_cm=20)
        if level is not None:
            make_level(gauge, level)
    zones = [one["properties"] for one in json.loads(exported(group))["features"] if one["id"].startswith("zone")]
    assert [zone["depth_today_cm"] for zone in zones] == [75, 60, 50]
    assert {zone["depth_class"] for zone in zones} == {"deep"}


def test_a_part_of_the_group_can_be_had_alone():
    group = make_group()
    stand = make_fields(group)
    make_zone(make_stand(group), name="Elsewhere")
    for part in ({"stand": stand.pk}, {"site": stand.site_id}):
        names = {one["properties"]["name"] for one in json.loads(exported(group, **part))["features"]}
        assert "Edge" in names
        assert "Elsewhere" not in names


def test_an_outline_over_the_180th_meridian_is_written_in_two_parts():
    group = make_group()
    site = make_site(group, latitude="-16.5", longitude="179.9995")
    ring = [[179.999, -16.5], [-179.999, -16.5], [-179.999, -16.499], [179.999, -16.499], [179.999, -16.5]]
    outline = drawn({"type": "Polygon", "coordinates": [ring]}, (179.9995, -16.5))
    make_zone(make_stand(group, site=site), outline=outline)
    text = exported(group)
    assert faults_of(text) == []
    assert json.loads(text)["features"][-1]["geometry"]["type"] == "MultiPolygon"


@pytest.mark.parametrize("stands", [1, 8])
def test_the_file_takes_four_queries_however_many_stands(stands, django_assert_num_queries):
    group = make_group()
    for _number in range(stands):
        stand = make_stand(group)
        make_zone(stand, gauge_cm=20)
        make_level(make_gauge(stand.site), 30)
    with django_assert_num_queries(4):
        assert len(json.loads(exported(group))["features"]) == 3 * stands


thousandths = st.integers(-200, 200)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    rings=st.lists(st.lists(st.tuples(thousandths, thousandths), min_size=3, max_size=7), min_size=1, max_size=3),
    name=st.text(st.characters(exclude_categories=["C"]), min_size=1, max_size=20).filter(str.strip),
)
def test_whatever_can_be_drawn_comes_back_from_the_file(rings, name):
    zone = make_zone(make_stand(make_group()))
    polygons = [[[[SITE[0] + x / 1000, SITE[1] + y / 1000] for x, y in [*ring, ring[0]]]] for ring in rings]
    try:
        outline = read_outline(json.dumps({"type": "MultiPolygon", "coordinates": polygons}), site=SITE)
    except UnusableOutline:
        return
    Zone.objects.filter(pk=zone.pk).update(outline=outline.geojson, name=name)
    text = exported(zone.stand.site.group)
    assert faults_of(text) == []
    feature = json.loads(text)["features"][-1]
    assert feature["properties"]["name"] == name
    assert read_outline(json.dumps(feature), site=SITE) == outline


# --- The page ------------------------------------------------------------------------------------------------------


def test_members_take_the_file_away_and_nobody_else(client, group, volunteer):
    make_fields(group)
    answer = volunteer.get(url("export_map", group))
    assert answer["Content-Type"] == "application/geo+json"
    assert answer["Content-Disposition"] == f'attachment; filename="{group.slug}-stands.geojson"'
    assert answer["Cache-Control"] == "private, no-store"
    assert faults_of(b"".join(answer.streaming_content).decode()) == []
    client.force_login(make_member(make_group()).account)
    for name in ("export_map", "map_data", "map"):
        assert client.get(url(name, group)).status_code == 404


@pytest.mark.parametrize("part", ["stand=0", "stand=x", "site=99999999999999999999", "site=-1"])
def test_data_of_what_is_no_part_are_an_empty_collection(volunteer, group, part):
    make_fields(group)
    answer = volunteer.get(f"{url('map_data', group)}?{part}")
    assert json.loads(b"".join(answer.streaming_content))["features"] == []
