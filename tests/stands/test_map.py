"""The map of a group, a site and a stand: what is shown without a script, and what the script is told."""

import json
import re
from xml.etree import ElementTree as ET

import pytest
from django.template.loader import render_to_string
from django.utils.translation import override

from reedcrew.stands.queries import drawing_of, stand_map, stands_map, stands_on_map
from reedcrew.trade.outline import outline_from, read_outline
from reedcrew.trade.policy import DEFAULT_POLICY
from tests.factories import NOW, make_gauge, make_group, make_level, make_site, make_stand, make_zone
from tests.stands.pages import SQUARE, queries_of, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def moved(lon=0.0, lat=0.0):
    ring = [[round(x + lon, 6), round(y + lat, 6)] for x, y in SQUARE["coordinates"][0]]
    return {"type": "Polygon", "coordinates": [ring]}


def make_fields(group, **fields):
    """A stand with a zone of each kind; the last has no outline."""
    stand = make_stand(group, outline=SQUARE, **fields)
    kinds = (("Bank", 0, 0), ("Shallows", 30, 0), ("Deep edge", 31, 0), ("Rapids", 60, 2), ("Channel", 140, 0))
    for number, (name, depth_cm, current) in enumerate(kinds):
        outline = moved(lon=number * 0.0002) if name != "Channel" else None
        make_zone(stand, name=name, depth_cm=depth_cm, current_m_s=current, outline=outline)
    return stand


# --- What is read --------------------------------------------------------------------------------------------------


def test_zones_are_told_apart_by_depth_today_and_current():
    stand = make_fields(make_group())
    kinds = {zone.zone.name: zone.kind.value for _stand, zone in stand_map(stand, DEFAULT_POLICY, NOW).zones}
    assert kinds == {
        "Bank": "dry",
        "Shallows": "shallow",
        "Deep edge": "deep",
        "Rapids": "closed",
        "Channel": "closed",
    }


def test_depth_is_that_of_today_by_the_gauge_of_its_own_site():
    """Rule 3 of the design: 20 cm at gauge 20, 35 today: 35 cm, which is deep."""
    group = make_group()
    rising, still = make_stand(group), make_stand(group)
    for stand in (rising, still):
        make_zone(stand, depth_cm=20, gauge_cm=20)
    make_level(make_gauge(rising.site), 35)
    make_level(make_gauge(still.site), 20)
    found = stands_map(stands_on_map(group), DEFAULT_POLICY, NOW)
    assert [(zone.depth.depth_cm, zone.kind.value) for _stand, zone in found.zones] == [(35, "deep"), (20, "shallow")]


def test_overlaps_and_zones_that_reach_outside_are_told_once_each():
    stand = make_stand(make_group(), outline=SQUARE)
    make_zone(stand, name="A", outline=SQUARE)
    make_zone(stand, name="B", outline=moved(lon=0.0005))
    cautions = stand_map(stand, DEFAULT_POLICY, NOW).cautions
    assert [caution.code for caution in cautions] == ["outline.partly_outside", "outline.overlaps"]
    assert cautions[1].values["other"] == "A"


def test_the_drawing_keeps_shape_and_scale_and_has_north_up():
    """0.001° at 44.25° N is 79.9 m by 111.1 m (WGS 84)."""
    outline = outline_from(SQUARE)
    drawing = drawing_of(sites=[("Landing", (-76.4995, 44.249), None)], stands=[], zones=[("1", "dry", outline)])
    (shape,) = drawing.zones
    points = [tuple(map(float, point.split())) for point in re.findall(r"[ML]([-\d.]+ [-\d.]+)", shape.path)]
    width = max(x for x, _ in points) - min(x for x, _ in points)
    height = max(y for _, y in points) - min(y for _, y in points)
    assert width / height == pytest.approx(79.87 / 111.12, rel=5e-3)
    assert width / 79.87 == pytest.approx(drawing.bar.width / drawing.bar.metres, rel=5e-3)
    assert drawing.bar.metres in {10, 20, 50, 100}
    (mark,) = drawing.sites
    assert mark.y > max(y for _, y in points)  # south of the zone: below it
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in points)


@pytest.mark.parametrize("position", [(0, 0), (180, -16.5), (-76.5, 44.25), (10, 89.9999)])
def test_a_single_place_is_drawn_anywhere_on_earth(position):
    drawing = drawing_of(sites=[("Landing", position, None)], stands=[], zones=[])
    assert (drawing.sites[0].x, drawing.sites[0].y) == (drawing.width / 2, drawing.height / 2)
    assert drawing.bar.metres == 20


def test_a_drawing_across_the_180th_meridian_stays_together():
    ring = "-16.5, 179.999\n-16.5, -179.999\n-16.499, -179.999\n-16.499, 179.999"
    outline = read_outline(ring, site=(179.9995, -16.5))
    drawing = drawing_of(sites=[], stands=[("Bay", outline)], zones=[])
    assert drawing.bar.metres <= 100


def test_nothing_is_an_empty_drawing():
    assert drawing_of(sites=[], stands=[], zones=[]).is_empty


# --- Pages ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["map", "site", "stand"])
def test_the_map_is_drawn_without_a_script_and_a_table_says_the_same(volunteer, group, name):
    stand = make_fields(group, name="North bay")
    key = {"map": (), "site": (stand.site.pk,), "stand": (stand.pk,)}[name]
    response = volunteer.get(url(name, group, *key))
    html, words = response.content.decode(), text_of(response)
    for kind in ("dry", "shallow", "deep", "closed"):
        assert f'fill="url(#map-{kind})"' in html
        assert f'id="map-{kind}"' in html
    assert "Deep edge" in words
    assert "44.250500, -76.499100" in words  # the middle of Deep edge: 0.0005 north, 0.0005 + 0.0004 east
    assert "not drawn yet" in words
    assert "overlap by" in words
    assert "style=" not in html


def test_a_group_without_anything_says_so(volunteer, group):
    assert "Nothing is drawn yet." in text_of(volunteer.get(url("map", group)))
    make_site(group, name="Heron Landing")
    assert "Heron Landing" in text_of(volunteer.get(url("map", group)))


def test_the_page_of_a_large_group_has_further_pages(volunteer, group):
    site = make_site(group)
    for number in range(26):
        make_zone(make_stand(group, site=site, name=f"Stand {number:02}"))
    assert len(volunteer.get(url("map", group)).context["map"].stands) == 25
    assert len(volunteer.get(url("map", group), {"page": 2}).context["map"].stands) == 1


def test_without_a_base_map_no_other_machine_may_send_images(volunteer, group):
    policy = volunteer.get(url("map", group))["Content-Security-Policy"]
    assert "img-src 'self' data:;" in f"{policy};"


def test_the_script_is_told_addresses_words_and_the_base_map(volunteer, group, settings):
    settings.MAP_TILES_URL = "https://tiles.example/{z}/{x}/{y}.png"
    settings.MAP_ATTRIBUTION = "Survey of <Nowhere>"
    stand = make_fields(group)
    response = volunteer.get(url("stand", group, stand.pk))
    live = response.context["live"]
    assert live["data"] == f"{url('map_data', group)}?stand={stand.pk}"
    assert json.loads(live["words"])["dry"] == "dry"
    html = response.content.decode()
    assert 'data-tiles="https://tiles.example/{z}/{x}/{y}.png"' in html
    assert 'data-attribution="Survey of &lt;Nowhere&gt;"' in html
    data = json.loads(b"".join(volunteer.get(live["data"]).streaming_content))
    assert len(data["features"]) == 7  # the site, the stand, five zones


@pytest.mark.parametrize("name", ["map", "site", "stand", "stands"])
def test_a_page_takes_as_many_queries_for_many_stands(volunteer, group, name):
    stand = make_fields(group)
    key = {"site": (stand.site.pk,), "stand": (stand.pk,)}.get(name, ())
    address = url(name, group, *key)

    def taken():
        return queries_of(volunteer, address)

    few = taken()
    for _number in range(6):
        make_level(make_gauge(make_fields(group).site), 20)
        make_fields(group, site=stand.site)
    assert taken() == few


def make_sites_far_apart(group):
    far = make_site(group, name="Far", latitude="44.300000")
    for site, lat in ((make_site(group, name="Near"), 0.0), (far, 0.05)):
        stand = make_stand(group, site=site, outline=moved(lat=lat))
        for number in range(3):
            make_zone(stand, outline=moved(lon=number * 0.0005, lat=lat))


def test_sites_far_apart_get_a_sheet_each_so_that_no_number_covers_another():
    group = make_group()
    make_sites_far_apart(group)
    found = stands_map(stands_on_map(group), DEFAULT_POLICY, NOW)
    assert found.drawing.zones == ()
    assert [mark.label for mark in found.drawing.sites] == ["Far", "Near"]
    assert [[zone.label for zone in close.drawing.zones] for close in found.close_ups] == [
        ["1", "2", "3"],
        ["4", "5", "6"],
    ]
    assert not any(close.drawing.is_crowded for close in found.close_ups)


def test_one_site_and_sites_close_together_stay_on_one_sheet():
    group = make_group()
    site = make_site(group)
    for number in range(3):
        make_zone(make_stand(group, site=site), outline=moved(lon=number * 0.0005))
    make_zone(make_stand(group, site=make_site(group)), outline=moved(lat=0.0015))
    found = stands_map(stands_on_map(group), DEFAULT_POLICY, NOW)
    assert len(found.drawing.zones) == 4
    assert found.close_ups == ()


@pytest.mark.parametrize("language", ["en", "fr", "es"])
def test_drawing_and_script_read_numbers_with_a_point_whatever_the_language(client, group, volunteer, language):
    """SVG 2, section 4.2.1: a number's decimal sign is a point; a comma ends it."""
    make_sites_far_apart(group)
    html = client.get(url("map", group), headers={"accept-language": language}).content.decode()
    assert f'<html lang="{language}">' in html
    assert len(re.findall(r'<svg class="map-sheet"', html)) == 3  # the whole, and each site
    assert re.search(r'\bcx="\d+\.\d+"', html)
    assert re.findall(r'\b(?:cx|cy|x|y|d|transform|data-\w+)="[^"]*\d,\d[^"]*"', html) == []


def test_every_number_of_the_drawing_for_paper_is_one_in_french_too():
    drawing = drawing_of(
        sites=[("Landing", (-76.4995, 44.249), None)], stands=[], zones=[("1", "dry", outline_from(SQUARE))]
    )
    with override("fr"):
        root = ET.fromstring(render_to_string("grants/pdf/map.svg", {"sheet": drawing, "north": "N"}))
    numbers = [each.get(name) for each in root.iter() for name in ("cx", "cy", "x", "y", "r", "width", "height")]
    assert "." in "".join(filter(None, numbers))
    assert all(float(number) >= 0 for number in numbers if number)
    assert all("," not in each.get(name, "") for each in root.iter() for name in ("d", "transform", "viewBox"))
