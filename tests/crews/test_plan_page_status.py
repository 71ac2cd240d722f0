"""The plan page says when its plan is for nobody: the day is over, or the stand must not be cut."""

import pytest
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.people.roles import Role
from reedcrew.trade.identification import Identification
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def day(client):
    group = factories.make_group()
    client.force_login(factories.make_member(group, role=Role.CREW_LEAD).account)
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand)
    services.make_plan(day=day, actor=None, now=NOW)
    return day


def shown(client, day) -> str:
    text: str = client.get(reverse("crews:plan", args=[day.group.slug, day.pk])).text
    return text


@pytest.mark.parametrize("status", [WorkDay.Status.CANCELLED, WorkDay.Status.CLOSED])
def test_the_plan_of_a_day_that_is_over_says_so_and_promises_no_new_one(client, day, status):
    services.order_plan(day=day, now=NOW)
    assert "A new one is on its way" in shown(client, day)
    day.status = status
    day.save()
    page = shown(client, day)
    assert f"This day is {status.label}" in page
    assert "A new one is on its way" not in page


def test_the_plan_on_a_stand_that_turned_out_native_says_not_to_cut(client, day):
    assert "Do not cut it" not in shown(client, day)
    day.stand.identification = Identification.NATIVE.value
    day.stand.save()
    assert "Do not cut it" in shown(client, day)
