"""Pages of gauges and their readings."""

import datetime

import pytest

from reedcrew.stands.models import WaterLevel
from tests.factories import (
    make_gauge,
    make_site,
    make_stand,
    make_zone,
)
from tests.stands.pages import text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def test_a_gauge_level_is_read_on_the_clock_of_the_site(organizer, group):
    site = make_site(group)
    make_gauge(site)
    address = url("record_water_level", group, site.pk)
    data = {"level_cm": "35", "read_at_day": "2026-08-10", "read_at_time": "07:30"}
    organizer.post(address, data)
    assert organizer.post(address, data).status_code == 302
    level = WaterLevel.objects.get()
    # Toronto keeps UTC-4 in August.
    assert level.read_at == datetime.datetime(2026, 8, 10, 11, 30, tzinfo=datetime.UTC)
    assert "35 cm" in text_of(organizer.get(url("site", group, site.pk)))


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"level_cm": ""}, "level_cm", "required"),
        ({"level_cm": "1e3"}, "level_cm", "Write a whole number"),
        ({"level_cm": "-10001"}, "level_cm", "Write -10000 cm or more"),
        ({"level_cm": "961"}, "level_cm", "“Edge” would be 1001 cm deep"),
        ({"read_at_time": "08:01"}, "read_at", "still to come"),
        ({"read_at_time": ""}, "read_at", "both the day and the time"),
        ({"read_at_day": "2026-03-08", "read_at_time": "02:30"}, "read_at", "skip 02:30"),
    ],
)
def test_a_level_s_form_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    stand = make_stand(group)
    make_zone(stand, name="Edge", depth_cm=60, gauge_cm=20)
    make_gauge(stand.site)
    data = {"level_cm": "35", "read_at_day": "2026-08-10", "read_at_time": "07:30", **values}
    response = organizer.post(url("record_water_level", group, stand.site.pk), data)
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    assert not WaterLevel.objects.exists()
