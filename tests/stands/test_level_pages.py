"""Pages of gauges and their readings."""

import datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from reedcrew.stands.forms.levels import FILE_BYTES_MAX
from reedcrew.stands.models import Gauge, WaterLevel
from reedcrew.stands.views.gauges import LEVELS_A_PAGE
from tests.factories import (
    NOW,
    make_gauge,
    make_level,
    make_site,
    make_stand,
    make_zone,
)
from tests.stands.pages import form_data, text_of, url

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


def test_without_a_gauge_the_level_page_says_what_to_record_first(organizer, group):
    site = make_site(group)
    page = organizer.get(url("record_water_level", group, site.pk))
    assert "record the gauge with its datum first" in text_of(page)
    assert url("record_gauge", group, site.pk) in page.text
    data = {"level_cm": "35", "read_at_day": "2026-08-10", "read_at_time": "07:30"}
    refused = organizer.post(url("record_water_level", group, site.pk), data)
    assert "had no gauge whose zero is recorded" in " ".join(refused.context["form"].errors["read_at"])
    assert 'value="35"' in refused.text


def test_a_gauge_is_recorded_changed_and_shown_with_its_zero(organizer, group):
    site = make_site(group)
    data = {"name": "Pier staff", "datum": "", "since": "2026-05-01", "note": ""}
    refused = organizer.post(url("record_gauge", group, site.pk), data)
    assert "Write what 0 means on this gauge" in " ".join(refused.context["form"].errors["datum"])
    assert 'value="Pier staff"' in refused.text
    assert organizer.post(url("record_gauge", group, site.pk), {**data, "datum": "painted mark"}).status_code == 302
    assert "Zero: painted mark" in text_of(organizer.get(url("levels", group, site.pk)))
    assert "Its zero: painted mark" in text_of(organizer.get(url("site", group, site.pk)))
    gauge = Gauge.objects.get()
    address = url("change_gauge", group, site.pk, gauge.pk)
    changed = {**form_data(organizer.get(address)), "datum": "lower painted mark"}
    assert organizer.post(address, changed).status_code == 302
    assert organizer.post(address, changed).status_code == 302  # sent twice
    gauge.refresh_from_db()
    assert (gauge.datum, gauge.version) == ("lower painted mark", 2)
    assert "ends the day before" in text_of(organizer.get(url("record_gauge", group, site.pk)))


def test_a_gauge_of_another_site_is_not_there(organizer, group):
    gauge = make_gauge(make_site(group))
    assert organizer.get(url("change_gauge", group, make_site(group).pk, gauge.pk)).status_code == 404


def test_readings_are_listed_in_pages(organizer, group):
    gauge = make_gauge(make_site(group))
    for hours in range(LEVELS_A_PAGE + 1):
        make_level(gauge, hours, NOW - hours * datetime.timedelta(hours=1))
    first = organizer.get(url("levels", group, gauge.site_id))
    assert "Page 1 of 2" in text_of(first)
    assert f"{LEVELS_A_PAGE} cm" in text_of(organizer.get(url("levels", group, gauge.site_id), {"page": 2}))


ROWS = "read_at;level\n2026-08-01 09:30;120,4\n2026-08-02 09:30;118\n"


def test_pasted_readings_are_kept_all_at_once_and_again_without_harm(organizer, group):
    gauge = make_gauge(make_site(group))
    address = url("record_levels", group, gauge.site_id)
    data = {"gauge": gauge.pk, "unit": "cm", "rows": ROWS}
    assert "2 new readings are kept." in text_of(organizer.post(address, data, follow=True))
    assert "2 were kept before or came twice." in text_of(organizer.post(address, data, follow=True))
    assert list(gauge.levels.values_list("level_cm", flat=True)) == [118, 121]


def test_a_file_of_readings_in_metres_is_kept(organizer, group):
    gauge = make_gauge(make_site(group))
    file = SimpleUploadedFile("levels.csv", b"\xef\xbb\xbfread_at,level_m\n2026-08-01T13:30Z,1.2\n")
    data = {"gauge": gauge.pk, "unit": "m", "rows": "", "file": file}
    assert organizer.post(url("record_levels", group, gauge.site_id), data).status_code == 302
    assert gauge.levels.get().level_cm == 120


def test_every_faulty_row_is_named_and_a_file_s_rows_stay_to_be_mended(organizer, group):
    gauge = make_gauge(make_site(group))
    make_level(gauge, 100, datetime.datetime(2026, 8, 1, 13, 30, tzinfo=datetime.UTC))
    text = "2026-08-01 09:30;120\n2026-08-11 09:30;118\n"
    data = {"gauge": gauge.pk, "unit": "cm", "rows": "", "file": SimpleUploadedFile("levels.csv", text.encode())}
    refused = organizer.post(url("record_levels", group, gauge.site_id), data)
    said = " ".join(refused.context["form"].errors["rows"])
    assert "Row 1, level: at Sat 1 August 2026, 09:30 EDT the gauge stood at 100 cm" in said
    assert "Row 2, read_at: this time is still to come." in said
    assert "2026-08-01 09:30;120" in refused.text
    many = "\n".join("x;1" for _number in range(30))
    refused = organizer.post(url("record_levels", group, gauge.site_id), {**data, "file": "", "rows": many})
    errors = refused.context["form"].errors["rows"]
    assert (len(errors), errors[-1]) == (21, "10 more rows have a problem.")
    assert gauge.levels.count() == 1


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"rows": ""}, "rows", "at least one reading"),
        ({"file": SimpleUploadedFile("x.csv", b"2026-08-01 09:30;1")}, "rows", "not both"),
        ({"rows": "", "file": SimpleUploadedFile("x.csv", b"\xff\xfe\x00a")}, "file", "no text in UTF-8"),
        ({"rows": "a\0b"}, "rows", ""),
        ({"unit": "ft"}, "unit", "valid choice"),
        ({"gauge": ""}, "gauge", "required"),
        ({"rows": "2026-08-01 09:30;1\n" * 20_001}, "rows", "more than 20000 rows"),
    ],
)
def test_a_lot_that_cannot_be_read_says_why(organizer, group, values, field, words):
    gauge = make_gauge(make_site(group))
    data = {"gauge": gauge.pk, "unit": "cm", "rows": ROWS, **values}
    response = organizer.post(url("record_levels", group, gauge.site_id), data)
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    assert not gauge.levels.exists()


def test_a_file_that_is_too_large_is_refused(organizer, group):
    gauge = make_gauge(make_site(group))
    large = SimpleUploadedFile("x.csv", b"1" * (FILE_BYTES_MAX + 1))
    data = {"gauge": gauge.pk, "unit": "cm", "rows": "", "file": large}
    response = organizer.post(url("record_levels", group, gauge.site_id), data)
    assert "larger than 2000 kB" in " ".join(response.context["form"].errors["file"])
