"""The first page and the start page of a group, with what other apps show there."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.people import home
from reedcrew.people.home import Panel, register_group_panel, register_home_panel
from reedcrew.people.roles import Role
from tests.factories import NOW, make_account, make_child, make_group, make_member, make_water_member

pytestmark = pytest.mark.django_db


def questions_panel(request, now):
    assert isinstance(now, datetime.datetime)
    if request.user.email == "nothing@example.org":
        return None
    return Panel(template="people/_missing.html", context={"missing": []})


@pytest.fixture
def own_panels(monkeypatch):
    """No panels but those of the test."""
    monkeypatch.setattr(home, "_home", {})
    monkeypatch.setattr(home, "_group", {})


def test_a_visitor_reads_what_this_is_and_how_to_start(client):
    page = client.get("/")
    assert page.status_code == 200
    assert "invasive common reed" in page.text
    assert f'href="{reverse("account_request_login_code")}"' in page.text


def test_somebody_new_is_told_the_two_ways_in(client):
    client.force_login(make_account())
    page = client.get("/").text
    assert "in no group yet" in page
    assert f'href="{reverse("people:found")}"' in page


def test_the_first_page_leads_to_each_group_with_the_role_in_it(client):
    account = make_account()
    one = make_member(make_group(name="Willow Bend"), account=account, role=Role.CREW_LEAD)
    two = make_member(make_group(name="Otter Marsh"), account=account)
    make_member(make_group(name="Far Fen"))
    child = make_child(two, name="Kim Child")
    client.force_login(account)
    page = client.get("/")
    assert [member.group.name for member in page.context["memberships"]] == ["Otter Marsh", "Willow Bend"]
    for text in ("Crew lead", one.group.get_absolute_url(), two.group.get_absolute_url(), "Kim Child"):
        assert text in page.text
    assert f'href="{reverse("people:member", args=[two.group.slug, child.pk])}"' in page.text
    assert "Far Fen" not in page.text


def test_panels_of_other_apps_stand_in_their_order_and_may_stay_away(client, own_panels):
    def second(request, now):
        return Panel(template="people/_water.html")

    for register in (register_home_panel, register_group_panel):
        register(second, order=20)
        register(questions_panel, order=10)
        register(questions_panel, order=10)
    member = make_member(make_group())
    client.force_login(member.account)
    for address in ("/", member.group.get_absolute_url()):
        panels = client.get(address).context["panels"]
        assert [panel.template for panel in panels] == ["people/_missing.html", "people/_water.html"]
    client.force_login(make_account("nothing@example.org"))
    assert [panel.template for panel in client.get("/").context["panels"]] == ["people/_water.html"]


def test_the_start_page_tells_what_is_missing_for_water(client, own_panels):
    group = make_group()
    ready, unready = make_water_member(group), make_water_member(group, profile={"stature_cm": None})
    land = make_member(group)
    told = {}
    for name, member in (("ready", ready), ("unready", unready), ("land", land)):
        client.force_login(member.account)
        told[name] = "planned on land" in client.get(group.get_absolute_url()).text
    assert told == {"ready": False, "unready": True, "land": False}


def test_organizers_find_what_they_keep_and_volunteers_do_not(client, own_panels):
    group = make_group()
    shown = {}
    for role in (Role.ORGANIZER, Role.VOLUNTEER):
        client.force_login(make_member(group, role=role).account)
        page = client.get(group.get_absolute_url()).text
        shown[role] = [name for name in ("edit_group", "add_member", "members") if url(name, group) in page]
    assert shown == {Role.ORGANIZER: ["edit_group", "add_member", "members"], Role.VOLUNTEER: []}


def url(name, group):
    return f'href="{reverse(f"people:{name}", args=[group.slug])}"'


def test_the_first_page_takes_as_many_queries_for_20_groups_as_for_one(client, own_panels):
    account = make_account()
    client.force_login(account)

    def join(number):
        for _index in range(number):
            make_child(make_member(make_group(), account=account, joined_at=NOW))

    def count():
        with CaptureQueriesContext(connection) as queries:
            client.get("/")
        return len(queries)

    join(1)
    count()
    first = count()
    join(19)
    assert count() == first
