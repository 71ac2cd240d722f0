"""Nobody is planned to cut what may be the native reed: rule 2 of the design."""

import datetime

import pytest
import time_machine
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.crews.errors import StandNotConfirmed
from reedcrew.crews.models import PlanDue
from reedcrew.people.roles import Role
from reedcrew.stands import services as stands
from reedcrew.trade.identification import Authority, Identification
from tests import factories
from tests.factories import NOW, SEES_NATIVE, account_of

pytestmark = pytest.mark.django_db

LATER = NOW + datetime.timedelta(hours=1)


@pytest.fixture
def lead(client):
    member = factories.make_member(factories.make_group(), role=Role.CREW_LEAD)
    client.force_login(account_of(member))
    return member


@pytest.fixture
def day(lead):
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand)
    day = factories.make_day(stand)
    factories.make_sign_up(day, lead, place="land")
    for _number in range(2):
        factories.make_sign_up(day, factories.make_water_member(lead.group, profile={"earlier_water_days": 5}))
    return day


def find_native(day):
    stands.record_check(
        stand=day.stand,
        observation=SEES_NATIVE,
        checked_on=NOW.date(),
        actor=factories.make_account(),
        now=LATER,
    )


def decide(day, result):
    latest = day.stand.checks.order_by("-pk").first()
    stands.decide_identification(
        stand=day.stand,
        result=result,
        authority=Authority.QUALIFIED_PERSON,
        authority_name="Ada Reedley, botanist",
        reason="Seen on site.",
        known=latest.pk if latest else 0,
        actor=factories.make_account(),
        now=LATER,
    )


def test_a_check_that_finds_native_reed_takes_the_plan_and_its_order_away(day):
    services.make_plan(day=day, actor=None, now=NOW)
    services.order_plan(day=day, now=NOW)
    find_native(day)
    assert not day.plans.filter(current=True).exists()
    assert not PlanDue.objects.exists()


def test_what_people_were_told_has_fallen(day, lead):
    plan = services.make_plan(day=day, actor=None, now=NOW)
    plan.told, plan.accepted_by, plan.accepted_at = True, account_of(lead), NOW
    plan.save()
    find_native(day)
    fallen = [reasons for (reasons,) in plan.assignments.values_list("fallen")]
    assert fallen
    assert all(reasons[0]["code"] == "told.stand_protected" for reasons in fallen)


@pytest.mark.parametrize("state", [Identification.NATIVE, Identification.NOT_SURE, Identification.UNCHECKED])
def test_no_day_on_a_protected_stand_is_planned(day, state):
    type(day.stand).objects.filter(pk=day.stand.pk).update(identification=state.value)
    with pytest.raises(StandNotConfirmed, match=day.stand.name):
        services.ask_plannable(day=day, now=NOW)
    with pytest.raises(StandNotConfirmed):
        services.make_plan(day=day, actor=None, now=NOW)
    services.order_plan(day=day, now=NOW)
    assert services.make_due_plan(day_pk=day.pk, now=NOW) is None
    assert not PlanDue.objects.exists()
    assert not day.plans.exists()


def test_a_stand_that_is_confirmed_again_orders_its_plans_anew(day):
    find_native(day)
    decide(day, Identification.NOT_SURE)
    assert not PlanDue.objects.exists()
    decide(day, Identification.INTRODUCED)
    assert PlanDue.objects.get().day == day
    assert services.make_due_plan(day_pk=day.pk, now=LATER).current


def test_the_plan_page_refuses_with_a_sentence(client, day):
    find_native(day)
    page = client.get(reverse("crews:plan", args=[day.group.slug, day.pk])).text
    assert "No plan is made while the stand is protected" in page
    assert "Do not cut it" in page
    with time_machine.travel(LATER, tick=False):
        answer = client.post(reverse("crews:plan_now", args=[day.group.slug, day.pk]))
    assert answer.status_code == 409
    assert "nobody is planned to cut there" in answer.text
