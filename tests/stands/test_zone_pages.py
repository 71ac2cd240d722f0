"""Pages of zones."""

import json
from decimal import Decimal

import pytest

from reedcrew.stands.models import Zone
from tests.factories import (
    make_day,
    make_gauge,
    make_stand,
    make_zone,
)
from tests.stands.pages import SQUARE, text_of, url, zone_data

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def test_a_zone_is_recorded_with_the_area_of_its_outline(organizer, group):
    stand = make_stand(group)
    make_gauge(stand.site)
    data = zone_data(outline=json.dumps(SQUARE), gauge_cm="-12")
    response = organizer.post(url("record_zone", group, stand.pk), data, follow=True)
    zone = Zone.objects.get()
    assert (zone.depth_cm, zone.gauge_cm, zone.stems) == (60, -12, 3000)
    assert zone.outline == SQUARE
    # 0.001° at 44.25° N is about 79.9 m × 111.1 m (WGS 84).
    assert zone.area_m2 == pytest.approx(Decimal(8875), abs=75)
    assert "m²" in text_of(response)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"depth_cm": "-1"}, "depth_cm", "Write 0 cm or more"),
        ({"depth_cm": "1001"}, "depth_cm", "Write 1000 cm or less"),
        ({"depth_cm": "deep"}, "depth_cm", "Write a whole number"),
        ({"depth_cm": ""}, "depth_cm", "required"),
        ({"bed": "dry"}, "depth_cm", "Dry ground has no water"),
        ({"surveyed_on": "2026-08-11"}, "surveyed_on", "today is 10 August 2026"),
        ({"gauge_cm": "20000"}, "gauge_cm", "Write 10000 cm or less"),
        ({"current_m_s": "-0.1"}, "current_m_s", "Write 0 m/s or more"),
        ({"current_m_s": "0.123"}, "current_m_s", "at most 2 digits"),
        ({"units_max": "61"}, "units_max", "60"),
        ({"stems": "3000000000"}, "stems", "100000000"),
        ({"name": "Taken"}, "name", "Choose another name"),
        ({"outline": "POLYGON((0 0))"}, "outline", "neither GeoJSON nor"),
        (
            {"outline": json.dumps({**SQUARE, "coordinates": [[[y, x] for x, y in SQUARE["coordinates"][0]]]})},
            "outline",
            "swapped",
        ),
    ],
)
def test_a_zone_s_form_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    stand = make_stand(group)
    make_zone(stand, name="Taken")
    data = zone_data(**values)
    response = organizer.post(url("record_zone", group, stand.pk), data)
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    kept = response.context["form"]
    assert {name: kept[name].value() for name in data} == data
    assert Zone.objects.count() == 1


def test_a_zone_of_another_stand_is_not_there(organizer, group):
    stand, other = make_stand(group), make_stand(group)
    zone = make_zone(other)
    assert organizer.get(url("change_zone", group, stand.pk, zone.pk)).status_code == 404


def test_a_zone_is_removed_at_once_and_put_back_by_one_press(organizer, group):
    stand = make_stand(group)
    zone = make_zone(stand, name="Far bank")
    address, back = url("remove_zone", group, stand.pk, zone.pk), url("put_back_zone", group, stand.pk, zone.pk)
    assert "is removed" in text_of(organizer.post(address, follow=True))
    assert "not there any more" in text_of(organizer.post(address, follow=True))
    assert "Put it back : Far bank" in text_of(organizer.get(stand.get_absolute_url()))
    assert organizer.post(url("put_back_zone", group, stand.pk, zone.pk + 1)).status_code == 404
    assert "“Far bank” is back, as it was" in text_of(organizer.post(back, follow=True))
    assert organizer.post(back).status_code == 302
    assert "Put it back" not in text_of(organizer.get(stand.get_absolute_url()))
    assert Zone.objects.get() == zone


def test_a_zone_of_a_work_day_offers_no_button_and_refuses_the_post(organizer, group):
    stand = make_stand(group)
    zone = make_zone(stand)
    make_day(stand)
    address = url("remove_zone", group, stand.pk, zone.pk)
    shown = organizer.get(address)
    assert "Records rest on this zone, so it can't be removed: work days" in text_of(shown)
    assert "Remove the zone" not in text_of(shown)
    response = organizer.post(address)
    assert (response.status_code, Zone.objects.count()) == (409, 1)
    assert "work days" in text_of(response)
