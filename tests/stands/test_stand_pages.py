"""Pages of stands."""

import datetime

import pytest

from reedcrew.stands.models import Stand
from reedcrew.trade.identification import Identification
from tests.factories import (
    NOW,
    make_check,
    make_gauge,
    make_level,
    make_site,
    make_stand,
    make_zone,
)
from tests.stands.pages import queries_of, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("august")]


def test_a_stand_s_page_says_what_is_safe_today_and_why(volunteer, group):
    stand = make_stand(group, first_cut_year=2026)
    make_zone(stand, name="Deep edge", depth_cm=60, gauge_cm=20)
    make_zone(stand, name="Bank", depth_cm=0, bed="dry")
    make_level(make_gauge(stand.site), 35, NOW - datetime.timedelta(days=2))
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
    assert "Add a zone" not in shown
    assert "Record a check" in shown


@pytest.mark.parametrize(
    ("identification", "words"),
    [
        (Identification.NATIVE, "it is native reed: the stand is protected"),
        (Identification.NOT_SURE, "the stand is protected until a qualified person"),
        (Identification.UNCHECKED, "Nobody has checked which reed this is"),
    ],
)
def test_a_stand_that_is_not_confirmed_says_that_nobody_may_work(volunteer, group, identification, words):
    stand = make_stand(group, identification=identification.value)
    assert words in text_of(volunteer.get(url("stand", group, stand.pk)))


def test_a_stand_s_page_takes_as_many_queries_for_many_zones_and_checks(volunteer, group):
    stand = make_stand(group)
    make_zone(stand)  # without any zone some questions are not even asked
    few = queries_of(volunteer, url("stand", group, stand.pk))
    for _number in range(25):
        make_zone(stand)
        make_check(stand)
    assert queries_of(volunteer, url("stand", group, stand.pk)) == few


def test_a_stand_is_recorded_and_asks_for_its_check(organizer, group):
    site = make_site(group)
    data = {"name": "North bay", "first_cut_year": "2026", "note": ""}
    response = organizer.post(url("record_stand", group, site.pk), data, follow=True)
    stand = Stand.objects.get()
    assert (stand.name, stand.identification) == ("North bay", Identification.UNCHECKED)
    assert response.redirect_chain[-1][0] == url("record_zone", group, stand.pk)
    assert "Nobody has checked which reed this is" in text_of(organizer.get(stand.get_absolute_url()))


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
