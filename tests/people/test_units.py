"""Metric units first, US customary beside them for who asks: chosen at the foot of a page, kept by the account."""

import email
from decimal import Decimal
from email import policy
from typing import Any

import pytest
from django.urls import reverse

from reedcrew.invites import mailings
from reedcrew.invites.drafts import bytes_of
from reedcrew.invites.models import MailChoice, OutgoingMail
from reedcrew.people.models import Units
from reedcrew.people.roles import Role
from reedcrew.web import amounts
from tests.factories import (
    NOW,
    make_account,
    make_day,
    make_group,
    make_member,
    make_sign_up,
    make_stand,
    make_water_member,
    make_zone,
)

pytestmark = pytest.mark.django_db
SPACE = "\N{NO-BREAK SPACE}"


@pytest.fixture(autouse=True)
def before(time_machine):
    time_machine.move_to(NOW, tick=False)


@pytest.fixture
def day():
    """A warm day with cold water in a group that writes French."""
    stand = make_stand(make_group(language="fr"))
    make_zone(stand, depth_cm=60, current_m_s=Decimal("0.30"))
    readings = {"temp_c": 22, "rh_percent": 50, "wind_km_h": 14, "water_temp_c": 12}
    forecast: dict[str, Any] = {f"forecast_{name}": Decimal(value) for name, value in readings.items()}
    return make_day(stand, **forecast)


def choose(client, units, **headers):
    return client.post(reverse("people:units"), {"units": units}, headers=headers)


def test_an_account_chooses_its_units_and_comes_back_to_its_page(client):
    account = make_account()
    client.force_login(account)
    assert 'value="metric" aria-current="true"' in client.get("/").text
    answer = choose(client, "with_customary", referer="http://testserver/me/days/?page=2")
    assert (answer.status_code, answer.url) == (302, "/me/days/?page=2")
    account.refresh_from_db()
    assert account.units == Units.WITH_CUSTOMARY
    assert 'value="with_customary" aria-current="true"' in client.get("/").text
    assert not amounts.are_with_customary()  # the next request of this process is another reader's


@pytest.mark.parametrize("referer", ["https://elsewhere.example/", "http://testserver//elsewhere.example/"])
def test_the_way_back_never_leads_off_the_site(client, referer):
    client.force_login(make_account())
    assert choose(client, "metric", referer=referer).url in {"/", "/elsewhere.example/"}


def test_other_units_are_refused_with_those_that_are_shown(client):
    account = make_account()
    client.force_login(account)
    answer = choose(client, "imperial")
    assert answer.status_code == 400
    assert "Choose one of these: Metric, Metric and US customary." in answer.text
    account.refresh_from_db()
    assert account.units == Units.METRIC


def test_the_weather_of_a_day_is_read_in_both_by_who_asks_and_metric_by_everybody_else(client, day):
    reader = make_member(day.group, role=Role.CREW_LEAD).account
    client.force_login(reader)
    address = reverse("crews:weather", args=[day.group.slug, day.pk])
    both = {
        "22.0 °C": "72 °F",
        "14.0 km/h": "9 mph",
        "60 cm": "24 in",
        "0.30 m/s": "1.0 ft/s",
        "15.0 °C": "59 °F",  # of cold shock, in the note on sources
        "8.3 °C": "15 °F",  # what the sun adds
    }
    page = client.get(address).text.replace(SPACE, " ")
    for metric, customary in both.items():
        assert metric in page
        assert customary not in page
    choose(client, "with_customary")
    page = client.get(address).text.replace(SPACE, " ")
    for metric, customary in both.items():
        assert f"{metric} ({customary})" in page
    assert "at or below 15.0 °C (59 °F)" in page  # a reason


def test_a_letter_of_the_worker_is_in_the_units_of_who_reads_it(day):
    for units, language in ((Units.METRIC, "en"), (Units.WITH_CUSTOMARY, "fr")):
        member = make_water_member(day.group)
        member.account.units, member.account.language = units, language
        member.account.save()
        make_sign_up(day, member)
    mailings.write_mailing(day_pk=day.pk, kind=MailChoice.Kind.EVENING_BEFORE, now=NOW)
    metric, both = (text_of(mail) for mail in OutgoingMail.objects.order_by("pk"))
    assert "Water of 12 °C is at or below 15.0 °C:" in metric
    assert "12 °C (54 °F)" in both
    assert "15,0 °C (59 °F)" in both


def test_forms_stay_metric_and_hint_at_feet_and_pounds(client, day):
    member = make_water_member(day.group)
    client.force_login(member.account)
    address = reverse("people:edit_profile", args=[day.group.slug, member.pk])
    assert "5 ft" not in client.get(address).text
    choose(client, "with_customary")
    page = client.get(address).text.replace(SPACE, " ")
    assert "5 ft is 152.4 cm, and each inch more is 2.54 cm." in page
    assert "from 22.7 kg (50 lb) to 40.8 kg (90 lb)" in page
    assert 'value="175"' in page


def text_of(mail):
    message = email.message_from_bytes(bytes_of(mail), policy=policy.default)
    return " ".join(message.get_body(("plain",)).get_content().split())
