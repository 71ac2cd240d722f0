import datetime
import json
import re
from decimal import Decimal
from html import unescape

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.people.roles import Role
from reedcrew.stands import services
from reedcrew.stands.models import IdentificationCheck, Site, Stand, WaterLevel, Zone
from reedcrew.trade.identification import Identification
from reedcrew.trade.season import MonthDay
from tests.factories import NOW, make_account, make_day, make_group, make_member, make_site, make_stand, make_zone

pytestmark = pytest.mark.django_db

SQUARE = {
    "type": "Polygon",
    "coordinates": [[[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]],
}


@pytest.fixture(autouse=True)
def _august():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def group():
    return make_group()


@pytest.fixture
def organizer(client, group):
    member = make_member(group, role=Role.ORGANIZER, name="Robin Alder")
    client.force_login(member.account)
    return client


@pytest.fixture
def volunteer(client, group):
    client.force_login(make_member(group).account)
    return client


def url(name, group, *args):
    return reverse(f"stands:{name}", args=[group.slug, *args])


def text_of(response):
    """The words of a page, without tags."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def site_data(**values):
    return {
        "name": "Heron Landing",
        "latitude": "44.25",
        "longitude": "-76.5",
        "time_zone": "America/Toronto",
        "meeting_place": "Gravel lot",
        "access": "",
        "parking": "",
        "phone_signal": "patchy",
        "emergency_entrance": "North gate",
        "hazards": "",
        "window_opens_day": "",
        "window_opens_month": "",
        "window_closes_day": "",
        "window_closes_month": "",
        "window_authority": "",
        **values,
    }


def zone_data(**values):
    return {
        "name": "Edge",
        "bed": "soft",
        "stems": "3000",
        "units_max": "4",
        "depth_cm": "60",
        "surveyed_on": "2026-07-01",
        "gauge_cm": "",
        "current_m_s": "0",
        "outline": "",
        **values,
    }


def form_data(response, **values):
    """What a browser would send from the form of a page: its present values, with some written over."""
    form = response.context["form"]
    data = {}
    for field in form:
        widget = field.field.widget
        initial = field.value()
        if hasattr(widget, "decompress"):
            parts = widget.decompress(initial)
            for suffix, part in zip(widget.widgets_names, parts, strict=True):
                data[field.html_name + suffix] = "" if part is None else str(part)
        else:
            data[field.html_name] = "" if initial is None else str(initial)
    return {**data, **values}


def every_page(group, stand, zone):
    """Each address of the app with the roles that may open it."""
    site = stand.site
    everyone, organizers = set(Role), {Role.ORGANIZER}
    return [
        (url("stands", group), everyone),
        (url("stand", group, stand.pk), everyone),
        (url("site", group, site.pk), everyone),
        (url("record_site", group), organizers),
        (url("change_site", group, site.pk), organizers),
        (url("record_stand", group, site.pk), organizers),
        (url("record_water_level", group, site.pk), organizers),
        (url("change_stand", group, stand.pk), organizers),
        (url("record_check", group, stand.pk), organizers),
        (url("record_zone", group, stand.pk), organizers),
        (url("change_zone", group, stand.pk, zone.pk), organizers),
        (url("remove_zone", group, stand.pk, zone.pk), organizers),
    ]


@pytest.mark.parametrize("role", list(Role))
def test_each_page_opens_to_its_roles_only(client, group, role):
    stand = make_stand(group)
    pages = every_page(group, stand, make_zone(stand))
    client.force_login(make_member(group, role=role).account)
    found = {address: client.get(address).status_code for address, _roles in pages}
    assert found == {address: 200 if role in roles else 403 for address, roles in pages}


def test_another_group_s_pages_are_not_there(client, group):
    stand = make_stand(group)
    pages = every_page(group, stand, make_zone(stand))
    own = make_group()
    client.force_login(make_member(own, role=Role.ORGANIZER).account)
    assert {client.get(address).status_code for address, _roles in pages} == {404}
    through_own = [address.replace(f"/g/{group.slug}/", f"/g/{own.slug}/") for address, _roles in pages]
    reachable = {url("stands", own), url("record_site", own)}
    assert {client.get(address).status_code for address in through_own if address not in reachable} == {404}
    assert {client.post(address).status_code for address in through_own if address not in reachable} <= {404, 405}


def test_signed_out_people_are_asked_to_sign_in(client, group):
    address = url("stands", group)
    response = client.get(address)
    assert response.status_code == 302
    assert response.headers["Location"].endswith(f"?next={address}")


def test_the_list_begins_with_words_that_say_what_to_do_first(organizer, group):
    assert "No site is recorded yet" in text_of(organizer.get(url("stands", group)))


def test_the_list_shows_what_each_stand_is(volunteer, group):
    make_stand(group, name="North bay", first_cut_year=2025)
    make_stand(group, name="Old fen", identification=Identification.NATIVE.value)
    shown = text_of(volunteer.get(url("stands", group)))
    for words in ("North bay", "introduced", "Old fen", "native", "permitted, with caution", "Sites"):
        assert words in shown
    assert "Add a site" not in shown


def test_stands_of_other_groups_are_not_listed(volunteer, group):
    make_stand(make_group(), name="Foreign bay")
    assert "Foreign bay" not in text_of(volunteer.get(url("stands", group)))


def queries_of(client, address, **parameters):
    """How many queries a page takes once the visitor is known."""
    client.get(address, parameters)
    with CaptureQueriesContext(connection) as taken:
        assert client.get(address, parameters).status_code == 200
    return len(taken)


def test_the_list_takes_as_many_queries_for_300_stands_as_for_20(volunteer, group):
    def fill(count):
        for _number in range(count):
            make_zone(make_stand(group, site=make_site(group)))

    address = url("stands", group)
    fill(20)
    few = queries_of(volunteer, address)
    fill(280)
    assert queries_of(volunteer, address) == few
    assert queries_of(volunteer, address, page=12, sites=2) == few
    response = volunteer.get(address, {"page": 12, "sites": 2})
    assert (response.context["page"].number, response.context["sites"].number) == (12, 2)


@pytest.mark.parametrize("page", ["0", "x", "9999"])
def test_a_page_number_that_is_none_shows_some_page(volunteer, group, page):
    make_stand(group)
    assert volunteer.get(url("stands", group), {"page": page, "sites": page}).status_code == 200


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


def test_a_stand_s_page_says_what_is_safe_today_and_why(volunteer, group):
    stand = make_stand(group, first_cut_year=2026)
    make_zone(stand, name="Deep edge", depth_cm=60, gauge_cm=20)
    make_zone(stand, name="Bank", depth_cm=0, bed="dry")
    WaterLevel.objects.create(
        site=stand.site, level_cm=35, read_at=NOW - datetime.timedelta(days=2), read_by=make_account()
    )
    shown = text_of(volunteer.get(url("stand", group, stand.pk)))
    for words in (
        "Confirmed as introduced",
        "Depth today 75 cm",
        "gauge read 2 days ago",
        "water work",
        "chest waders, a life jacket, gloves and eye protection, in pairs",
        "cut as near the bed as possible",
        "dry land",
        "sharpened spade",
        "It takes several years",
        "Nobody goes in alone",
    ):
        assert words in shown
    assert "Record a check" not in shown


@pytest.mark.parametrize(
    ("identification", "words"),
    [
        (Identification.NATIVE, "Native reed: this stand is protected"),
        (Identification.NOT_SURE, "the stand is protected until a qualified person"),
        (Identification.UNCHECKED, "Nobody has checked which reed this is"),
    ],
)
def test_a_stand_that_is_not_confirmed_says_that_nobody_may_work(volunteer, group, identification, words):
    stand = make_stand(group, identification=identification.value)
    assert words in text_of(volunteer.get(url("stand", group, stand.pk)))


def test_a_stand_s_page_takes_as_many_queries_for_many_zones_and_checks(volunteer, group):
    stand = make_stand(group)
    few = queries_of(volunteer, url("stand", group, stand.pk))
    for _number in range(25):
        make_zone(stand)
        services.record_check(
            stand=stand,
            result=Identification.INTRODUCED,
            characters="Sheaths held tight",
            checked_on=NOW.date(),
            actor=make_account(),
            now=NOW,
        )
    assert queries_of(volunteer, url("stand", group, stand.pk)) == few


def test_a_site_s_page_takes_as_many_queries_for_many_stands(volunteer, group):
    site = make_site(group)
    make_stand(group, site=site)
    few = queries_of(volunteer, url("site", group, site.pk))
    for _number in range(25):
        make_stand(group, site=site)
    assert queries_of(volunteer, url("site", group, site.pk)) == few


def test_an_organizer_records_a_site(organizer, group):
    data = site_data(time_zone="america/new york", latitude="44.25193412", longitude="-76,5022184")
    response = organizer.post(url("record_site", group), data, follow=True)
    site = Site.objects.get()
    assert response.redirect_chain[-1][0] == site.get_absolute_url()
    assert (site.group, site.time_zone) == (group, "America/New_York")
    assert (str(site.latitude), str(site.longitude)) == ("44.251934", "-76.502218")
    assert "“Heron Landing” is recorded" in text_of(response)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"name": ""}, "name", "required"),
        ({"time_zone": "America/Atlantis"}, "time_zone", "“America/Atlantis” is no time zone"),
        ({"time_zone": "localtime"}, "time_zone", "is no time zone"),
        ({"latitude": "95"}, "latitude", "Write 90 ° or less"),
        ({"latitude": "north"}, "latitude", "Write a number"),
        ({"longitude": "-181"}, "longitude", "Write -180 ° or more"),
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


def test_a_stand_is_recorded_and_asks_for_its_check(organizer, group):
    site = make_site(group)
    data = {"name": "North bay", "first_cut_year": "2026", "note": ""}
    response = organizer.post(url("record_stand", group, site.pk), data, follow=True)
    stand = Stand.objects.get()
    assert (stand.name, stand.identification) == ("North bay", Identification.UNCHECKED)
    assert "Nobody has checked which reed this is" in text_of(response)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"name": ""}, "name", "required"),
        ({"first_cut_year": "2028"}, "first_cut_year", "Give a year up to 2027"),
        ({"first_cut_year": "1066"}, "first_cut_year", "1950"),
        ({"first_cut_year": "99999"}, "first_cut_year", "Give a year up to 2027"),
        ({"name": "Taken"}, "name", "Choose another name"),
    ],
)
def test_a_stand_s_form_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    site = make_site(group)
    make_stand(group, site=site, name="Taken")
    data = {"name": "North bay", "first_cut_year": "", "note": "Behind the island", **values}
    response = organizer.post(url("record_stand", group, site.pk), data)
    assert words in " ".join(response.context["form"].errors[field])
    assert "Behind the island" in response.content.decode()
    assert Stand.objects.count() == 1


def test_the_form_of_a_check_warns_that_native_reed_looks_alike(organizer, group):
    shown = text_of(organizer.get(url("record_check", group, make_stand(group).pk)))
    assert "Native reed looks much like the introduced one" in shown
    assert "a qualified person or a genetic test decides" in shown


def test_a_check_protects_the_stand_and_shows_who_decided_by_name(organizer, group):
    stand = make_stand(group)
    address = url("record_check", group, stand.pk)
    data = form_data(organizer.get(address), result="native", characters="Sheaths fall, stems chestnut")
    response = organizer.post(address, data, follow=True)
    shown = text_of(response)
    assert "The stand is protected" in shown
    assert "Sheaths fall, stems chestnut" in shown
    assert "Recorded by Robin Alder" in shown
    assert "@example.org" not in shown.replace("group@example.org", "").split("Zones today")[1]
    organizer.post(address, data)
    assert IdentificationCheck.objects.count() == 1


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"result": ""}, "result", "required"),
        ({"result": "unchecked"}, "result", "valid choice"),
        ({"characters": ""}, "characters", "required"),
        ({"checked_on": "2026-08-11"}, "checked_on", "today is 2026-08-10"),
        ({"checked_on": "yesterday"}, "checked_on", "Pick a day"),
        ({"submission": "x"}, "submission", "Open the page again"),
    ],
)
def test_a_check_s_form_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    stand = make_stand(group)
    address = url("record_check", group, stand.pk)
    data = form_data(organizer.get(address), result="introduced", characters="Sheaths held tight")
    response = organizer.post(address, {**data, **values})
    assert words in " ".join(response.context["form"].errors[field])
    if "characters" not in values:
        assert "Sheaths held tight" in response.content.decode()
    assert not IdentificationCheck.objects.exists()


def test_a_zone_is_recorded_with_the_area_of_its_outline(organizer, group):
    stand = make_stand(group)
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
        ({"surveyed_on": "2026-08-11"}, "surveyed_on", "today is 2026-08-10"),
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


def test_a_zone_is_removed_after_a_question_and_a_second_press_does_no_harm(organizer, group):
    stand = make_stand(group)
    zone = make_zone(stand)
    address = url("remove_zone", group, stand.pk, zone.pk)
    assert "This cannot be taken back" in text_of(organizer.get(address))
    assert Zone.objects.exists()
    assert "is removed" in text_of(organizer.post(address, follow=True))
    assert "not there any more" in text_of(organizer.post(address, follow=True))


def test_a_zone_of_a_work_day_offers_no_button_and_refuses_the_post(organizer, group):
    stand = make_stand(group)
    zone = make_zone(stand)
    make_day(stand)
    address = url("remove_zone", group, stand.pk, zone.pk)
    shown = organizer.get(address)
    assert "records rest on it: work days" in text_of(shown)
    assert "Remove the zone" not in text_of(shown)
    response = organizer.post(address)
    assert (response.status_code, Zone.objects.count()) == (409, 1)
    assert "work days" in text_of(response)


def test_a_gauge_level_is_read_on_the_clock_of_the_site(organizer, group):
    site = make_site(group)
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
    data = {"level_cm": "35", "read_at_day": "2026-08-10", "read_at_time": "07:30", **values}
    response = organizer.post(url("record_water_level", group, stand.site.pk), data)
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    assert not WaterLevel.objects.exists()


def test_the_menu_leads_to_the_stands(volunteer, group):
    assert f'href="{url("stands", group)}"' in volunteer.get(url("stands", group)).content.decode()
