"""The panel of a day that says what its people can finish."""

import datetime
import re
from html import unescape

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from reedcrew.people.roles import Role
from reedcrew.workdays.models import SignUp, WorkDay
from tests.factories import END, NOW, make_closed_day, make_day, make_group, make_member, make_sign_up, make_stand
from tests.factories import make_zone as make_zone_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _august():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def day():
    """Four hours on 1,600 stems in water; another zone of the stand is not the day's."""
    stand = make_stand(make_group())
    zone = make_zone_of(stand, stems=1_600)
    found = make_day(stand, zones=[zone])
    make_zone_of(stand, stems=90_000)
    for _number in range(2):
        make_sign_up(found, make_member(stand.site.group))
    return found


def shown(client, day, role=Role.CREW_LEAD):
    client.force_login(make_member(day.group, role=role).account)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", client.get(day.get_absolute_url()).content.decode())).split())


def test_a_lead_reads_what_the_day_can_finish(client, day):
    """By hand: 2 people × 4 h × 100 an hour cut 800 of 1,600 stems; 16 h need 4 people for 4 h, who are two units."""
    text = shown(client, day)
    assert "2 in water and 0 on land, for 4.0 h" in text
    assert "One day cuts 50 %" in text
    assert re.search(r"Finished in one day with 4\b", text)


def test_people_on_the_waiting_list_do_not_count(client, day):
    make_sign_up(day, make_member(day.group), state=SignUp.State.WAITING)
    make_sign_up(day, make_member(day.group), place=SignUp.Place.LAND)
    assert "2 in water and 1 on land" in shown(client, day)


def test_volunteers_and_days_that_are_over_show_no_such_panel(client, day):
    assert "What this day can finish" not in shown(client, day, Role.VOLUNTEER)
    with time_machine.travel(END, tick=False):
        assert "What this day can finish" not in shown(client, day)
    WorkDay.objects.filter(pk=day.pk).update(status=WorkDay.Status.CANCELLED)
    assert "What this day can finish" not in shown(client, day)


def test_nobody_signed_up_is_no_error(client):
    stand = make_stand(make_group())
    make_zone_of(stand)
    assert "nobody of this crew cuts there" in shown(client, make_day(stand))


def test_the_queries_do_not_grow_with_people_and_records(client, day):
    zone = day.zones.get()
    make_closed_day(day.stand, datetime.date(2026, 7, 18), tallies={zone: 5}, in_water=2)
    client.force_login(make_member(day.group, role=Role.CREW_LEAD).account)
    client.get(day.get_absolute_url())
    with CaptureQueriesContext(connection) as few:
        client.get(day.get_absolute_url())
    for number in range(5):
        make_sign_up(day, make_member(day.group))
        make_closed_day(day.stand, datetime.date(2026, 7, 20 + number), tallies={zone: 5}, in_water=2)
    with CaptureQueriesContext(connection) as many:
        client.get(day.get_absolute_url())
    assert len(many) == len(few)
