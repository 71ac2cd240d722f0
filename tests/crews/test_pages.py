"""The plan page through HTTP, as an organizer or a crew lead reads it."""

import pytest
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.people.models import Member, Wish
from reedcrew.people.roles import Role
from reedcrew.trade.items import Item
from tests import factories
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(client, group):
    member = factories.make_member(group, role=Role.CREW_LEAD)
    client.force_login(member.account)
    return member


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand, name="Reed edge", depth_cm=60)
    return factories.make_day(stand)


def address(name, day):
    return reverse(f"crews:{name}", args=[day.group.slug, day.pk])


def fill(day, people: int) -> list[Member]:
    """So many people ready for water work, with gear for all of them, and a first-aider and a spotter on land."""
    members = [factories.make_water_member(day.group) for _i in range(people)]
    for member in members:
        factories.make_sign_up(day, member)
    for profile in ({"first_aid_until": START.date(), "earlier_water_days": 9}, {"earlier_water_days": 9}):
        ashore = factories.make_member(day.group, profile=profile)
        factories.make_sign_up(day, ashore, place="land")
    factories.make_stock(day.group, Item.CHEST_WADERS, people, size="43")
    factories.make_stock(day.group, Item.LIFE_JACKET, people, size="adult")
    return members


@pytest.fixture
def before(time_machine):
    time_machine.move_to(NOW, tick=False)


def test_planning_now_shows_pairs_roles_gear_and_reasons(client, lead, day, before):
    members = fill(day, 4)
    assert "No plan yet" in client.get(address("plan", day)).text
    page = client.post(address("plan_now", day), follow=True)
    assert "The day is planned anew" in page.text
    assert "proven best" in page.text
    for words in (
        *(member.name for member in members),
        "Unit 2",
        "Reed edge",
        "spotter",
        "chest waders",
        "life jacket",
    ):
        assert words in page.text


def test_a_day_without_a_first_aider_has_no_water_work_and_says_why(client, lead, day, before):
    for _i in range(4):
        factories.make_sign_up(day, factories.make_water_member(day.group))
    page = client.post(address("plan_now", day), follow=True)
    assert "no water work" in page.text
    assert "first-aider" in page.text


def test_the_page_says_that_a_newer_plan_is_on_its_way(client, lead, day, before):
    fill(day, 2)
    services.make_plan(day=day, actor=None, now=NOW)
    services.order_plan(day=day, now=NOW)
    assert "A new one is being made" in client.get(address("plan", day)).text


def test_who_asked_to_be_kept_apart_is_told_to_nobody(client, lead, day, before):
    """H8: the ask is private to organizers, so the plan never mentions it."""
    one, other, *_rest = fill(day, 4)
    Wish.objects.create(member=one, other=other, kind=Wish.Kind.APART)
    page = client.post(address("plan_now", day), follow=True).text
    assert "apart" not in page


def test_a_day_that_is_over_is_not_planned(client, lead, day, time_machine):
    time_machine.move_to(day.ends_at, tick=False)
    response = client.post(address("plan_now", day))
    assert response.status_code == 409
    assert "not planned any more" in response.text


def test_the_plan_is_for_organizers_and_crew_leads(client, group, day):
    for role, status in ((Role.ORGANIZER, 200), (Role.CREW_LEAD, 200), (Role.COORDINATOR, 403), (Role.VOLUNTEER, 403)):
        client.force_login(factories.make_member(group, role=role).account)
        assert client.get(address("plan", day)).status_code == status
    client.force_login(factories.make_member(factories.make_group(), role=Role.ORGANIZER).account)
    assert client.get(address("plan", day)).status_code == 404


def test_the_page_takes_as_many_queries_for_60_people_as_for_10(client, lead, day, before, count_queries):
    client.get(address("plan", day))  # the first request of a session also notes the session
    fill(day, 8)
    services.make_plan(day=day, actor=None, now=NOW)
    few = count_queries(lambda: client.get(address("plan", day)))
    fill(day, 48)
    services.make_plan(day=day, actor=None, now=NOW)
    assert count_queries(lambda: client.get(address("plan", day))) == few
