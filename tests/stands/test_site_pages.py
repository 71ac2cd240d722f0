"""Pages of sites."""

import json
import re

import pytest

from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.trade.season import MonthDay
from tests.factories import (
    make_gauge,
    make_site,
    make_stand,
    make_zone,
)
from tests.stands.pages import SQUARE, form_data, queries_of, site_data, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def test_a_site_s_page_tells_how_to_get_there_and_whom_to_call_in(volunteer, group):
    site = make_site(
        group,
        access="Past the barn",
        parking="Two cars",
        hazards="Drop-off",
        phone_signal="none",
        window_opens=MonthDay(8, 1),
        window_closes=MonthDay(9, 30),
        window_authority="Lake authority",
    )
    response = volunteer.get(url("site", group, site.pk))
    shown = text_of(response)
    for words in ("Past the barn", "Two cars", "Drop-off", "North gate", "none", "Lake authority", "America/Toronto"):
        assert words in shown
    # RFC 5870: latitude, then longitude
    assert 'href="geo:44.250000,-76.500000"' in response.content.decode()
    assert "44.250000, -76.500000" in shown


def test_a_site_s_page_takes_as_many_queries_for_many_stands(volunteer, group):
    site = make_site(group)
    make_stand(group, site=site)
    few = queries_of(volunteer, url("site", group, site.pk))
    for _number in range(25):
        make_stand(group, site=site)
    assert queries_of(volunteer, url("site", group, site.pk)) == few


def test_an_organizer_records_a_site(organizer, group):
    data = site_data(time_zone="america/new york", position="44.25193412 N, 76°30'7.986\" W")
    response = organizer.post(url("record_site", group), data, follow=True)
    site = Site.objects.get()
    assert response.redirect_chain[-1][0] == url("record_stand", group, site.pk)  # a site is nothing without a stand
    assert (site.group, site.time_zone) == (group, "America/New_York")
    assert (str(site.latitude), str(site.longitude)) == ("44.251934", "-76.502218")
    assert "“Heron Landing” is recorded" in text_of(response)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"name": ""}, "name", "required"),
        ({"time_zone": "America/Atlantis"}, "time_zone", "“America/Atlantis” is no time zone"),
        ({"time_zone": "localtime"}, "time_zone", "is no time zone"),
        ({"position": "95.5, -76.5"}, "position", "95.5, -76.5 is not on the map: latitude, given first, is from -90"),
        (
            {"position": "the landing"},
            "position",
            "“the landing” is no position. Write latitude and longitude",
        ),
        ({"position": "44.25"}, "position", "“44.25” is no position"),
        ({"position": " "}, "position", "required"),
        ({"window_opens_day": "31", "window_opens_month": "2"}, "window_opens", "February has 29 days"),
        ({"window_opens_day": "1"}, "window_opens", "both the day and the month"),
        ({"window_authority": "Lake authority"}, "window_closes", "first day, last day and the authority"),
        (
            {
                **{"window_opens_day": "1", "window_opens_month": "8"},
                **{"window_closes_day": "30", "window_closes_month": "9"},
            },
            "window_authority",
            "first day, last day and the authority",
        ),
        ({"phone_signal": "loud"}, "phone_signal", "valid choice"),
        ({"emergency_entrance": " "}, "emergency_entrance", "required"),
    ],
)
def test_a_site_s_form_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    response = organizer.post(url("record_site", group), site_data(meeting_place="Under the oak", **values))
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    shown = response.content.decode()
    assert "Under the oak" in shown
    assert "Nothing has been saved yet" in shown
    assert not Site.objects.exists()


def test_own_weeks_with_their_authority_are_kept_and_shown(organizer, group):
    data = site_data(
        window_opens_day="1",
        window_opens_month="8",
        window_closes_day="30",
        window_closes_month="9",
        window_authority="Lake authority",
    )
    organizer.post(url("record_site", group), data)
    site = Site.objects.get()
    assert (site.window_opens, site.window_closes) == (MonthDay(8, 1), MonthDay(9, 30))
    form = organizer.get(url("change_site", group, site.pk))
    assert form_data(form)["window_opens_day"] == "1"


def test_a_site_recorded_twice_is_one_site(organizer, group):
    for _press in range(2):
        response = organizer.post(url("record_site", group), site_data())
    assert Site.objects.count() == 1
    assert "already" in " ".join(response.context["form"].errors["name"])


def test_the_form_of_a_site_offers_names_of_time_zones_and_no_machine_s_own(organizer, group):
    shown = organizer.get(url("record_site", group)).content.decode()
    assert '<option value="Europe/Berlin">' in shown
    assert 'value="localtime"' not in shown
    assert re.search(r'<input type="text" name="time_zone"[^>]* list="id_time_zone_names"', shown)


def test_a_change_of_a_site_is_saved(organizer, group):
    site = make_site(group)
    address = url("change_site", group, site.pk)
    response = organizer.post(address, form_data(organizer.get(address), hazards="Soft mud"), follow=True)
    assert "Soft mud" in text_of(response)
    site.refresh_from_db()
    assert (site.hazards, site.version) == ("Soft mud", 2)


def test_a_stale_form_shows_what_is_saved_and_saves_on_the_second_try(organizer, group):
    site = make_site(group)
    address = url("change_site", group, site.pk)
    opened = form_data(organizer.get(address), hazards="Soft mud")
    organizer.post(address, form_data(organizer.get(address), hazards="Wasps"))
    response = organizer.post(address, opened)
    assert response.status_code == 200
    assert "was changed since you opened it" in text_of(response)
    assert "Wasps" in text_of(response)
    site.refresh_from_db()
    assert site.hazards == "Wasps"
    organizer.post(address, {**opened, "version": "2"})
    site.refresh_from_db()
    assert site.hazards == "Soft mud"


def test_a_change_sent_twice_is_saved_once_and_complains_not(organizer, group):
    zone = make_zone(make_stand(group))
    make_gauge(zone.stand.site)
    for address, values in (
        (url("change_site", group, zone.stand.site.pk), {"hazards": "Soft mud"}),
        (url("change_stand", group, zone.stand.pk), {"first_cut_year": "2024"}),
        (
            url("change_zone", group, zone.stand.pk, zone.pk),
            {"depth_cm": "70", "outline": json.dumps(SQUARE), "gauge_cm": "-5"},
        ),
    ):
        data = form_data(organizer.get(address), **values)
        assert [organizer.post(address, data).status_code for _press in range(2)] == [302, 302]
    assert [Site.objects.get().version, Stand.objects.get().version, Zone.objects.get().version] == [2, 2, 2]


def test_a_broken_version_is_a_stale_one(organizer, group):
    site = make_site(group)
    address = url("change_site", group, site.pk)
    for version in ("", "x", "1" * 400):
        data = form_data(organizer.get(address), hazards="Soft mud", version=version)
        assert organizer.post(address, data).status_code == 200
    site.refresh_from_db()
    assert site.hazards == ""
