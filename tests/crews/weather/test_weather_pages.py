"""The weather page of a day and the form of its forecast, through HTTP."""

import datetime
import re
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.crews.models import PlanDue
from reedcrew.people.models import AuditEntry
from reedcrew.people.roles import Role
from reedcrew.stands.models import Site
from reedcrew.workdays import errors
from reedcrew.workdays.forecast import Forecast, change_forecast
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.crews.crowd import full_day, organizer_of, sign_up_waders
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def before(time_machine):
    time_machine.move_to(NOW, tick=False)


def address(name, day):
    return reverse(f"crews:{name}", args=[day.group.slug, day.pk])


def sign_in(client, day, role=Role.CREW_LEAD):
    client.force_login(factories.make_member(day.group, role=role).account)


def readings(**said):
    return {
        "forecast_temp_c": "",
        "forecast_rh_percent": "",
        "forecast_wind_km_h": "",
        "forecast_water_temp_c": "",
        "version": "1",
        **said,
    }


def change(client, day, **said):
    return client.post(address("change_weather", day), readings(**said), follow=True)


def test_a_crew_lead_enters_a_forecast_and_the_plan_is_due(client):
    day = full_day()
    sign_in(client, day)
    page = change(
        client,
        day,
        forecast_temp_c="32,2",
        forecast_rh_percent="50",
        forecast_wind_km_h="12",
        forecast_water_temp_c="12",
    ).text
    saved = WorkDay.objects.get()
    assert (saved.forecast_temp_c, saved.forecast_wind_km_h) == (Decimal("32.2"), Decimal("12"))
    assert PlanDue.objects.filter(day=day).exists()
    assert AuditEntry.objects.get(deed="forecast changed").detail["forecast_rh_percent"] == "50"
    # 90 °F at 50 %: heat index 94.5 °F = 34.7 °C, moderate by OSHA, extreme caution by the National Weather Service.
    for words in ("34.7\N{NO-BREAK SPACE}°C", "moderate", "extreme caution", "cold shock can drown", "offer shade"):
        assert words in page
    # Water of 12 °C, 53.6 °F: 1 to 2 hours to exhaustion, 1 to 6 to live, by the search-and-rescue table.
    for words in ("1 h to 2 h", "1 h to 6 h", "Transport Canada TP 13822"):
        assert words in page
    # 9 people × 4 h × 0.946 L (one US quart, 8 CCR § 3395) = 34.07 L.
    assert "34.1\N{NO-BREAK SPACE}L" in page
    # 32.2 °C is 90 °F; in full sun +13, at 50 % +6: 109 °F, of which NIOSH's table says caution for heavy work.
    assert "Too hot for heavy work." in page


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("forecast_temp_c", "75", "Air temperature: write a number from -60 to 60 °C."),
        ("forecast_temp_c", "-61", "Air temperature: write a number from -60 to 60 °C."),
        ("forecast_rh_percent", "101", "Relative humidity: write a number from 0 to 100 %."),
        ("forecast_wind_km_h", "301", "Wind: write a number from 0 to 300 km/h."),
        ("forecast_wind_km_h", "-1", "Wind: write a number from 0 to 300 km/h."),
        ("forecast_water_temp_c", "41", "Water temperature: write a number from -2 to 40 °C."),
        ("forecast_water_temp_c", "nan", "Write a number, such as 12 or 12.5."),
        ("forecast_temp_c", "9" * 4000, "Air temperature: write a number from -60 to 60 °C."),
        ("forecast_temp_c", "hot", "Write a number, such as 12 or 12.5."),
    ],
)
def test_what_is_out_of_range_is_refused_by_name_and_nothing_is_lost(client, field, value, sentence):
    day = full_day()
    sign_in(client, day)
    kept = {"forecast_temp_c": "21.5", "forecast_rh_percent": "55", "forecast_wind_km_h": "9"}
    page = change(client, day, **{**kept, field: value})
    assert sentence in str(page.context["form"].errors[field])
    for name, said in {**kept, field: value}.items():
        assert page.context["form"][name].value() == said
    assert WorkDay.objects.get().forecast_temp_c is None
    assert not PlanDue.objects.exists()


def test_past_the_charts_the_page_claims_no_number(client):
    day = full_day()
    sign_in(client, day)
    page = change(client, day, forecast_temp_c="43", forecast_rh_percent="80").text
    assert "is past the printed charts of the heat index, so no number is claimed" in page
    assert "Heat index, in the shade" not in page
    assert "extreme danger" in page


def test_a_mild_day_claims_neither_heat_index_nor_wind_chill(client):
    day = full_day()
    sign_in(client, day)
    page = change(client, day, forecast_temp_c="18", forecast_rh_percent="60", forecast_wind_km_h="20").text
    for words in (
        "Below 26.7 °C the heat index is not used",
        "No humidex: it is given for air of 20 °C and more.",
        "No wind chill: it is defined for air of 10 °C and less.",
        "The water temperature is unknown",
    ):
        assert words in page


def test_a_cold_day_has_a_wind_chill(client):
    day = full_day()
    sign_in(client, day)
    page = change(client, day, forecast_temp_c="0", forecast_rh_percent="60", forecast_wind_km_h="20").text
    assert "-5\N{NO-BREAK SPACE}°C" in page  # 0 °C in 20 km/h: −5.24 (NWS and ECCC, 2001)


def test_without_a_forecast_nothing_is_judged_and_the_sun_is_known(client):
    day = full_day()
    sign_in(client, day, Role.VOLUNTEER)
    page = client.get(address("weather", day)).text
    assert "No forecast is entered yet" in page
    assert "Sunrise" in page
    assert "Change the forecast" not in page


def test_volunteers_read_and_do_not_change(client):
    day = full_day()
    sign_in(client, day, Role.VOLUNTEER)
    assert client.post(address("change_weather", day), readings(forecast_temp_c="20")).status_code == 403
    assert client.get(address("weather", day)).status_code == 200
    client.force_login(factories.make_member(factories.make_group()).account)
    assert client.get(address("weather", day)).status_code == 404


def test_daylight_stands_on_the_first_page_of_the_day(client):
    day = full_day()
    # US Naval Observatory, Washington on 2024-03-05, UTC−5: civil dawn 06:07, sunrise 06:34, sunset 18:06, dusk 18:32.
    Site.objects.update(latitude=Decimal("38.889444"), longitude=Decimal("-77.035278"))
    start = datetime.datetime(2024, 3, 5, 14, tzinfo=datetime.UTC)
    WorkDay.objects.update(date=start.date(), starts_at=start, ends_at=start + datetime.timedelta(hours=4))
    sign_in(client, day, Role.VOLUNTEER)
    page = client.get(day.get_absolute_url()).text
    light = page[page.index("Daylight at the site") :]
    found = [int(hour) * 60 + int(minute) for hour, minute in re.findall(r"(\d\d):(\d\d) EST", light)[:4]]
    assert found == pytest.approx([6 * 60 + 7, 6 * 60 + 34, 18 * 60 + 6, 18 * 60 + 32], abs=1.5)
    assert "US Naval Observatory" in light


def test_a_current_that_closes_a_zone_stands_beside_it(client):
    day = full_day()
    day.zones.update(current_m_s=Decimal("1.00"))  # 0.60 m × 1.00 m/s is past 0.929 ÷ 2
    sign_in(client, day)
    page = client.get(address("weather", day))
    assert [zone.zone for zone in page.context["now"].closed_zones] == ["Reed edge"]
    assert "closed" in page.text


def test_a_zone_deeper_than_anyone_may_wade_is_closed(client):
    day = full_day()
    day.zones.update(depth_cm=140)
    sign_in(client, day)
    page = client.get(address("weather", day))
    assert [zone.zone for zone in page.context["now"].closed_zones] == ["Reed edge"]
    assert "deeper than anyone may wade" in page.text


def test_a_form_opened_before_another_change_is_asked_back(client):
    day = full_day()
    sign_in(client, day)
    change(client, day, forecast_temp_c="20")
    page = change(client, day, forecast_temp_c="25")
    assert "This was changed since you opened it" in page.text
    assert WorkDay.objects.get().forecast_temp_c == 20


def test_the_same_forecast_again_changes_nothing(client):
    day = full_day()
    day = change_forecast(
        day=day, version=1, forecast=Forecast(forecast_temp_c=Decimal(20)), actor=organizer_of(day), now=NOW
    )
    again = change_forecast(
        day=day, version=2, forecast=Forecast(forecast_temp_c=Decimal(20)), actor=organizer_of(day), now=NOW
    )
    assert again.version == 2
    with pytest.raises(errors.StaleDay):
        change_forecast(day=day, version=1, forecast=Forecast(), actor=organizer_of(day), now=NOW)


def test_a_closed_day_keeps_its_forecast(client):
    day = full_day()
    WorkDay.objects.update(status=WorkDay.Status.CLOSED)
    sign_in(client, day)
    page = change(client, day, forecast_temp_c="20")
    assert "closed" in str(page.context["form"].errors)
    assert WorkDay.objects.get().forecast_temp_c is None


def test_queries_do_not_grow_with_the_roster(client):
    day = full_day()
    sign_in(client, day)
    client.get(address("weather", day))
    with CaptureQueriesContext(connection) as few:
        client.get(address("weather", day))
    sign_up_waders(day, *(f"More {number}" for number in range(20)))
    with CaptureQueriesContext(connection) as many:
        client.get(address("weather", day))
    assert len(many) == len(few)
