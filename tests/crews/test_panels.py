"""What the start page tells a volunteer of the plan: where, beside whom, with what; and of nobody else."""

import pytest
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.crews.models import Plan
from reedcrew.people.models import Wish
from reedcrew.people.roles import Role
from reedcrew.trade.items import Item
from tests import factories
from tests.factories import NOW, START, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def before(time_machine):
    time_machine.move_to(NOW, tick=False)


@pytest.fixture
def day():
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand, name="Reed edge", depth_cm=60)
    day = factories.make_day(stand)
    for item, size in ((Item.CHEST_WADERS, "43"), (Item.LIFE_JACKET, "adult")):
        factories.make_stock(day.group, item, 60, size=size)
    for name, profile in (("Ida Aid", {"first_aid_until": START.date()}), ("Sam Spotter", {})):
        factories.make_sign_up(day, factories.make_member(day.group, name=name, profile=profile), place="land")
    return day


def sign_up_waders(day, *names):
    members = [factories.make_water_member(day.group, name=name) for name in names]
    for member in members:
        factories.make_sign_up(day, member)
    return members


def tell(day) -> Plan:
    """Plan the day and accept the plan."""
    plan = services.make_plan(day=day, actor=None, now=NOW)
    lead = factories.make_member(day.group, role=Role.CREW_LEAD)
    return services.accept_plan(plan=plan, actor=account_of(lead), now=NOW).plan


def start_page(client, member):
    client.force_login(account_of(member))
    return client.get("/").text


def test_a_volunteer_reads_zone_partner_by_given_name_and_gear(client, day, before):
    nia, _bo = sign_up_waders(day, "Nia Nettle", "Bo Birch")
    tell(day)
    page = start_page(client, nia)
    for words in ("Where the plan puts me", "Reed edge", "beside Bo", "chest waders 43"):
        assert words in page
    for unsaid in ("Birch", "Ida", "Sam"):
        assert unsaid not in page


def test_gear_that_nobody_has_for_somebody_in_water_stands_beside_their_name(client, before):
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand, name="Shallows", depth_cm=20)
    day = factories.make_day(stand)
    sign_up_waders(day, "Nia Nettle", "Bo Birch")
    for profile in ({"first_aid_until": START.date()}, {}):
        factories.make_sign_up(day, factories.make_member(day.group, profile=profile), place="land")
    factories.make_stock(day.group, Item.BOOTS, 2, size="43")
    factories.make_stock(day.group, Item.EYE_PROTECTION, 1)  # of two that shallow water asks for (design, rule 5)
    tell(day)
    client.force_login(factories.make_member(day.group, role=Role.ORGANIZER).account)
    assert client.get(reverse("crews:plan", args=[day.group.slug, day.pk])).text.count("no eye protection yet") == 1
    own = [
        start_page(client, each.member).count("no eye protection yet") for each in day.sign_ups.filter(place="water")
    ]
    assert sorted(own) == [0, 1]


def test_somebody_on_shore_reads_their_role_and_a_guardian_reads_the_childs(client, day, before):
    (parent,) = sign_up_waders(day, "Pia Parent")
    factories.make_sign_up(day, factories.make_child(parent, name="Kim Child"), place="land")
    sign_up_waders(day, "Bo Birch")
    tell(day)
    page = start_page(client, parent)
    assert "beside Bo" in page
    assert "hauler" in page  # a person under 18 hauls (design: shore roles)
    assert "first-aider" in start_page(client, day.sign_ups.get(member__name="Ida Aid").member)


def test_a_plan_of_a_cancelled_or_past_day_is_told_to_nobody(client, day, time_machine):
    time_machine.move_to(NOW, tick=False)
    nia, _bo = sign_up_waders(day, "Nia Nettle", "Bo Birch")
    tell(day)
    type(day).objects.filter(pk=day.pk).update(status="cancelled")
    assert "beside Bo" not in start_page(client, nia)
    type(day).objects.filter(pk=day.pk).update(status="posted")
    assert "beside Bo" in start_page(client, nia)
    time_machine.move_to(day.ends_at, tick=False)
    assert "beside Bo" not in start_page(client, nia)


def test_the_page_takes_as_many_queries_for_40_people_as_for_2(client, day, before, count_queries):
    nia, bo = sign_up_waders(day, "Nia Nettle", "Bo Birch")
    Wish.objects.create(member=nia, other=bo, kind=Wish.Kind.TOGETHER)  # keeps her in a unit when many come
    tell(day)
    start_page(client, nia)
    few = count_queries(lambda: client.get("/"))
    sign_up_waders(day, *(f"Wader {number}" for number in range(38)))
    tell(day)
    assert count_queries(lambda: client.get("/")) == few
    assert "Reed edge" in client.get("/").text  # the zone is told to who is in a unit
