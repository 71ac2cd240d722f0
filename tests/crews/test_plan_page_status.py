"""The plan page says when its plan is for nobody: the day is over, or the stand must not be cut."""

import pytest
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.crews.models import PlanDue
from reedcrew.crews.services import planning
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
    assert "A new one is being made" in shown(client, day)
    day.status = status
    day.save()
    page = shown(client, day)
    assert f"This day is {status.label}" in page
    assert "A new one is being made" not in page


def test_a_page_that_waits_for_a_plan_asks_for_it_and_stops_when_it_is_there(client, day):
    plan = reverse("crews:plan", args=[day.group.slug, day.pk])
    asks = f'data-hx-get="{plan}"'
    services.order_plan(day=day, now=NOW)
    assert asks in shown(client, day)
    assert asks in client.get(plan, headers={"HX-Request": "true"}).text
    services.make_due_plan(day_pk=day.pk, now=NOW)
    answer = client.get(plan, headers={"HX-Request": "true"}).text
    assert "The new plan is made." in answer
    assert asks not in answer
    assert "The new plan is made." not in shown(client, day)


def test_a_large_day_is_planned_in_the_background(client, day, monkeypatch, time_machine):
    time_machine.move_to(NOW, tick=False)
    now = reverse("crews:plan_now", args=[day.group.slug, day.pk])
    assert "planned anew" in client.post(now, follow=True).text
    factories.make_sign_up(day, factories.make_member(day.group))
    monkeypatch.setattr(planning, "PLANNED_AT_ONCE", 0)
    page = client.post(now, follow=True).text
    assert "A new one is being made" in page
    assert "planned anew" not in page
    assert PlanDue.objects.filter(day=day).exists()


def test_the_plan_on_a_stand_that_turned_out_native_says_not_to_cut(client, day):
    assert "Do not cut it" not in shown(client, day)
    day.stand.identification = Identification.NATIVE.value
    day.stand.save()
    assert "Do not cut it" in shown(client, day)
