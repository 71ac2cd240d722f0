"""Open data through HTTP: who chooses, what is kept of the choice, and what members can take."""

import io
import json

import pytest
from django.urls import reverse
from dwca.read import DwCAReader
from shapely.geometry import shape

from reedcrew.grants.errors import OpenDataChangedMeanwhile
from reedcrew.grants.models import Licence, OpenDataChoice
from reedcrew.grants.services import choose_open_data
from reedcrew.people.models import AuditEntry
from reedcrew.people.roles import Role
from reedcrew.trade.blurring import Blurring
from tests import factories
from tests.factories import NOW
from tests.grants.open_data.shore_group import make_open_group

pytestmark = pytest.mark.django_db

CHOSEN = {"published": "on", "licence": "CC0-1.0", "blurring": "0.01", "version": "0"}
FILES = ("darwin_core", "stands_geojson")


@pytest.fixture
def shore():
    return make_open_group()


def address(name, group):
    return reverse(f"grants:{name}", args=[group.slug])


def sign_in(client, group, role):
    member = factories.make_member(group, role=role)
    client.force_login(member.account)
    return member


def publish(group, blurring=Blurring.EXACT, licence=Licence.CC_BY, *, published=True, version=0):
    actor = factories.make_account()
    return choose_open_data(
        group=group, published=published, licence=licence, blurring=blurring, version=version, actor=actor, now=NOW
    )


def content_of(response) -> bytes:
    return b"".join(response.streaming_content)


def test_nothing_is_published_until_the_group_says_so(client, shore):
    sign_in(client, shore.group, Role.VOLUNTEER)
    assert "publishes nothing" in client.get(address("open_data", shore.group)).text
    assert [client.get(address(name, shore.group)).status_code for name in FILES] == [404, 404]


def test_a_coordinator_publishes_and_the_choice_is_kept(client, shore, tmp_path):
    coordinator = sign_in(client, shore.group, Role.COORDINATOR)
    page = client.post(address("change_open_data", shore.group), CHOSEN, follow=True)
    assert "The group publishes its open data." in page.text
    assert "Creative Commons Zero" in page.text
    entry = AuditEntry.objects.get(deed="open data chosen")
    assert (entry.actor, entry.detail["licence"], entry.detail["blurring"]) == (
        coordinator.account,
        "CC0-1.0",
        "0.01",
    )
    path = tmp_path / "open.zip"
    path.write_bytes(content_of(client.get(address("darwin_core", shore.group))))
    with DwCAReader(str(path)) as reader:
        assert len(list(reader)) == 10
        assert "CC0-1.0" in {each.text for each in reader.metadata.iter("identifier")}


def test_a_second_choice_on_an_old_page_is_asked_again(client, shore):
    sign_in(client, shore.group, Role.ORGANIZER)
    publish(shore.group)
    page = client.post(address("change_open_data", shore.group), {**CHOSEN, "blurring": "0.1"})
    assert "changed since you opened it" in page.text
    assert OpenDataChoice.objects.get().blurring == "exact"
    with pytest.raises(OpenDataChangedMeanwhile):
        publish(shore.group, Blurring.COARSE)


def test_the_same_choice_twice_is_one(shore):
    assert publish(shore.group) == publish(shore.group)
    assert AuditEntry.objects.filter(deed="open data chosen").count() == 1


@pytest.mark.parametrize(
    ("field", "value"), [("licence", ""), ("licence", "all rights reserved"), ("blurring", "0.5"), ("blurring", "")]
)
def test_what_is_no_choice_is_named_and_nothing_changes(client, shore, field, value):
    sign_in(client, shore.group, Role.ORGANIZER)
    page = client.post(address("change_open_data", shore.group), {**CHOSEN, field: value})
    assert page.status_code == 200
    assert page.context["form"].errors.keys() == {field}
    assert not OpenDataChoice.objects.exists()


@pytest.mark.parametrize(
    ("role", "status"),
    [(Role.ORGANIZER, 200), (Role.COORDINATOR, 200), (Role.CREW_LEAD, 403), (Role.VOLUNTEER, 403)],
)
def test_the_office_chooses_and_everybody_may_look(client, shore, role, status):
    sign_in(client, shore.group, role)
    assert client.get(address("change_open_data", shore.group)).status_code == status
    assert client.get(address("open_data", shore.group)).status_code == 200


def test_files_of_another_group_are_as_absent(client, shore):
    sign_in(client, factories.make_group(), Role.ORGANIZER)
    publish(shore.group)
    assert [client.get(address(name, shore.group)).status_code for name in FILES] == [404, 404]


def test_stopping_takes_the_files_away(client, shore):
    sign_in(client, shore.group, Role.VOLUNTEER)
    publish(shore.group)
    publish(shore.group, published=False, version=1)
    assert [client.get(address(name, shore.group)).status_code for name in FILES] == [404, 404]


@pytest.mark.parametrize(
    ("blurring", "kinds"), [(Blurring.EXACT, ["Polygon", "Point", "Point"]), (Blurring.COARSE, ["Point"] * 3)]
)
def test_geojson_holds_each_stand_once(client, shore, blurring, kinds):
    """Geometry is judged by shapely: valid, exterior rings counter-clockwise (RFC 7946, 3.1.6)."""
    sign_in(client, shore.group, Role.VOLUNTEER)
    publish(shore.group, blurring)
    response = client.get(address("stands_geojson", shore.group))
    assert response["Content-Type"] == "application/geo+json"
    collection = json.load(io.BytesIO(content_of(response)))
    assert collection["license"] == "http://creativecommons.org/licenses/by/4.0/legalcode"
    shapes = [shape(feature["geometry"]) for feature in collection["features"]]
    assert [each.geom_type for each in shapes] == kinds
    assert all(each.is_valid for each in shapes)
    assert all(each.exterior.is_ccw for each in shapes if each.geom_type == "Polygon")
    ids = [feature["id"] for feature in collection["features"]]
    assert len(set(ids)) == 3
    names = {feature["properties"].get("locality") for feature in collection["features"]}
    assert (names == {None}) is (blurring is Blurring.COARSE)
    if blurring is Blurring.COARSE:
        assert {(each.x, each.y) for each in shapes} == {(-76.55, 44.25), (-76.45, 44.25)}
