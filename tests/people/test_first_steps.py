"""The way of a new group to its first day ticks itself and ends there; its pages take all or nothing."""

import pytest
import time_machine
from django.urls import reverse

from reedcrew.people.first_steps import first_steps
from reedcrew.people.models import Member
from reedcrew.people.roles import Role
from reedcrew.stock.models import StockLine
from reedcrew.trade.items import Item
from tests import factories
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def organizer(client, group):
    client.force_login(account_of(factories.make_member(group, role=Role.ORGANIZER, name="Robin Alder")))
    with time_machine.travel(NOW, tick=False):
        yield client


def undone(group):
    return [step.label for step in first_steps(group, NOW) if not step.is_done and not step.optional]


def next_step(group):
    (step,) = [step for step in first_steps(group, NOW) if step.is_next]
    return step


def test_each_step_ticks_itself_and_leads_to_the_next(group):
    factories.make_member(group, role=Role.ORGANIZER)
    ways = [*undone(group)]
    assert len(ways) == 8
    assert next_step(group).url == reverse("stands:record_site", args=[group.slug])
    stand = factories.make_stand(group, site=factories.make_site(group), identification="unchecked")
    assert undone(group) == ways[2:]
    factories.make_zone(stand)
    assert next_step(group).url == reverse("stands:record_check", args=[group.slug, stand.pk])
    factories.make_check(stand)
    assert next_step(group).url == reverse("stands:decide_identification", args=[group.slug, stand.pk])
    type(stand).objects.update(identification="introduced")
    assert undone(group) == ways[5:]
    factories.make_stock(group, Item.SPADE, 2)
    factories.make_member(group)
    assert undone(group) == ways[7:]
    assert next(step for step in first_steps(group, NOW) if step.label == ways[7]).url.endswith(f"?stand={stand.pk}")
    factories.make_day(stand)
    assert first_steps(group, NOW) == ()


def test_the_steps_stand_on_the_start_pages_of_organizers_only_and_until_the_first_day(organizer, group, client):
    words = "The way to your first work day"
    pages = ("/", group.get_absolute_url())
    assert all(words in organizer.get(page).text for page in pages)
    for role in (Role.CREW_LEAD, Role.VOLUNTEER):
        client.force_login(account_of(factories.make_member(group, role=role)))
        assert not any(words in client.get(page).text for page in pages)


def test_several_people_are_entered_or_none_and_each_line_says_what_is_wrong(organizer, group):
    page = reverse("people:add_several", args=[group.slug])
    factories.make_member(group, account=factories.make_account("bo@example.org"), name="Bo Birch")
    written = "Ada Ash, ada@example.org\n\nCy Cedar; cy@\nDi Dogwood"
    answer = organizer.post(page, {"people": written})
    assert "Line 3: Write one mail address" in answer.text
    assert "Cy Cedar; cy@" in answer.text
    answer = organizer.post(page, {"people": "Ada Ash, ada@example.org\nBo, bo@example.org"})
    assert "Line 2: This address belongs to Bo Birch" in answer.text
    assert not Member.objects.filter(name="Ada Ash").exists()
    assert "Write at least one name" in organizer.post(page, {"people": " , \n"}).text
    answer = organizer.post(page, {"people": "Ada Ash, ada@example.org\nDi Dogwood", "adults": "on"}, follow=True)
    assert "2 people are in the group now." in answer.text
    ada, di = (Member.objects.get(name=name) for name in ("Ada Ash", "Di Dogwood"))
    assert (ada.account.email, ada.role, ada.profile.adult) == ("ada@example.org", Role.VOLUNTEER, True)
    assert (di.account, di.profile.adult) == (None, True)


def test_the_first_count_takes_the_numbers_that_are_written_once(organizer, group):
    page = reverse("stock:first_count", args=[group.slug])
    form = organizer.get(page).context["form"]
    empty = {"submission": form["submission"].value()}
    assert "Write at least one number" in organizer.post(page, empty).text
    assert "Write a whole number" in organizer.post(page, {**empty, "spade-": "three", "whistle-": "4"}).text
    assert not StockLine.objects.exists()
    data = {**empty, "chest-waders-43": "2", "life-jacket-adult": "4", "spade-": "0"}
    for _press in range(2):
        assert "2 lines are in the stock." in organizer.post(page, data, follow=True).text
    assert sorted(StockLine.objects.values_list("item", "size")) == [("chest waders", "43"), ("life jacket", "adult")]
    assert "chest-waders-43" not in organizer.get(page).context["form"].fields
