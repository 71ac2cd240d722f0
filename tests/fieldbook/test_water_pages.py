"""The pages of the briefing and of the water, as a crew lead presses through them on a phone."""

import datetime
import re

import pytest
from django.urls import reverse

from reedcrew.fieldbook import services
from reedcrew.fieldbook.models import Attendance, BriefingHeard, WaterStint
from reedcrew.people.policy import change_policy
from reedcrew.people.roles import Role
from reedcrew.trade.briefing import Item
from tests import factories
from tests.factories import START, account_of

pytestmark = pytest.mark.django_db

ALL = [item.value for item in Item]
MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(), role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(lead, time_machine, client):
    time_machine.move_to(START, tick=False)
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand, name="Deep edge")
    day = factories.make_day(stand)
    factories.make_sign_up(day, lead)
    client.force_login(account_of(lead))
    return day


@pytest.fixture
def pair(day, lead):
    people = [factories.make_water_member(lead.group, name=name) for name in ("Ada Alder", "Bo Birch")]
    for member in people:
        factories.make_sign_up(day, member)
    for member in (lead, *people):
        services.sign_in(day=day, member=member, in_water=False, at=START, actor=account_of(lead), now=START)
    return people


def address(name, day):
    return reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk])


def keys(*members):
    return [member.pk for member in members]


def test_a_briefing_is_recorded_only_when_every_point_was_gone_through(client, day, pair):
    page = client.post(address("briefing", day), {"items": ALL[:-1], "members": keys(*pair)})
    assert "Still to go through: Drinking water." in page.text
    assert page.text.count(" checked") == len(ALL) - 1 + len(pair)  # nothing that was entered is lost
    assert not BriefingHeard.objects.exists()
    page = client.post(address("briefing", day), {"items": ALL, "members": keys(*pair)}, follow=True)
    assert "Heard the briefing: Ada Alder, Bo Birch." in page.text


def test_a_pair_goes_in_is_counted_and_comes_out(client, day, lead, pair, time_machine):
    client.post(address("briefing", day), {"items": ALL, "members": keys(*pair)})
    zone = day.zones.get().pk
    alone = client.post(address("water", day), {"form": "pair", "zone": zone, "members": keys(pair[0])})
    assert "nobody goes into water alone" in alone.text
    page = client.post(address("water", day), {"form": "pair", "zone": zone, "members": keys(*pair)}, follow=True)
    assert page.context["state"].count == 2
    assert "overdue" not in page.text
    time_machine.move_to(START + 27 * MINUTE, tick=False)
    assert "The head count is overdue by 7 minutes." in client.get(address("water", day)).text
    page = client.post(address("water", day), {"form": "check", "seen": "1"}, follow=True)
    assert "1 seen, 2 expected. Find out now who is missing" in page.text
    page = client.post(address("water", day), {"form": "check", "seen": "2"}, follow=True)
    assert "overdue" not in page.text
    page = client.post(address("water", day), {"form": "out", "members": keys(pair[0])}, follow=True)
    assert "Bo Birch is alone in the water: get them out now." in page.text
    page = client.post(address("water", day), {"form": "all_out", "out-seen": "0"}, follow=True)
    assert "Nobody is taken off it" in page.text
    page = client.post(address("water", day), {"form": "all_out", "out-seen": "1"}, follow=True)
    assert "Everybody is out of the water." in page.text
    assert not WaterStint.objects.in_water().exists()


def test_a_group_says_how_often_people_in_water_are_counted(client, day, lead, pair):
    change_policy(group=day.group, actor=account_of(lead), now=START, headcount_minutes=10)
    client.post(address("briefing", day), {"items": ALL, "members": keys(*pair)})
    sent = {"form": "pair", "zone": day.zones.get().pk, "members": keys(*pair)}
    page = client.post(address("water", day), sent, follow=True)
    assert page.context["state"].due_at == START + 10 * MINUTE


def test_the_page_of_the_water_takes_as_many_queries_for_many_as_for_two(client, day, lead, pair, count_queries):
    def enter(members):
        client.post(address("briefing", day), {"items": ALL, "members": keys(*members)})
        client.post(address("water", day), {"form": "pair", "zone": day.zones.get().pk, "members": keys(*members)})

    enter(pair)
    few = count_queries(lambda: client.get(address("water", day)))
    for _unit in range(3):
        more = [factories.make_water_member(lead.group) for _number in range(2)]
        for member in more:
            factories.make_sign_up(day, member)
            services.sign_in(day=day, member=member, in_water=True, at=START, actor=account_of(lead), now=START)
        enter(more)
    assert WaterStint.objects.in_water().count() == 8
    assert count_queries(lambda: client.get(address("water", day))) == few


def test_wrong_times_and_counts_are_struck_out_from_the_lists_of_the_page(client, day, pair):
    client.post(address("briefing", day), {"items": ALL, "members": keys(*pair)})
    client.post(address("water", day), {"form": "pair", "zone": day.zones.get().pk, "members": keys(*pair)})
    client.post(address("water", day), {"form": "check", "seen": "1"})
    page = client.post(address("water", day), {"form": "out", "members": keys(*pair)}, follow=True)
    links = sorted(set(re.findall(r'href="([^"]+/strike/[^"]+)"', page.text)))
    assert [link.split("/")[-3] for link in links] == ["count", "water", "water"]
    count, water, partner = links
    assert "1 seen, 2 expected" in client.get(count).text
    shown = client.get(water).text
    assert "Time in water: Ada Alder, Bo Birch" in shown
    assert client.post(water, {"reason": ""}).status_code == 200
    assert WaterStint.objects.standing().count() == 2
    for link in (count, water):
        page = client.post(link, {"reason": "the other unit"}, follow=True)
        assert page.redirect_chain == [(address("water", day), 302)]
    assert page.text.count("the other unit") == 3
    assert "/strike/" not in page.text
    assert client.get(partner).status_code == 404


def test_a_kind_that_is_none_is_absent(client, day, pair):
    stay = Attendance.objects.get(member=pair[0])
    found = [
        client.get(reverse("fieldbook:strike", args=[day.group.slug, day.pk, kind, stay.pk])).status_code
        for kind in ("attendance", "tally", "sign-up")
    ]
    assert found == [200, 404, 404]
