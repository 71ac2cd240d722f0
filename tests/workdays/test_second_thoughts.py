"""Whoever gave a place back takes it again while it is free, children with it; else it is said that it went on."""

import pytest
from django.urls import reverse

from reedcrew.workdays import services
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db

TAKE_BACK = "Come after all: take the place back"


@pytest.fixture(autouse=True)
def summer(time_machine):
    time_machine.move_to(NOW, tick=False)


@pytest.fixture
def day():
    return factories.make_day(factories.make_stand(factories.make_group()), water_places=2, land_places=0)


@pytest.fixture
def guardian(day):
    return factories.make_member(day.group, name="Mara Moor")


def press(client, name, day, sign_up):
    return client.post(reverse(f"workdays:{name}", args=[day.share_code, sign_up.pk]), follow=True).text


def states(day):
    return list(day.sign_ups.order_by("number").values_list("member__name", "state"))


def test_a_place_that_is_still_free_is_taken_back_with_those_of_the_children(client, day, guardian):
    child = factories.make_child(guardian, name="Ida Moor")
    own = factories.make_sign_up(day, guardian)
    factories.make_sign_up(day, child)
    client.force_login(account_of(guardian))
    page = press(client, "withdraw", day, own)
    assert "Mara Moor, Ida Moor are withdrawn from this day." in page
    assert TAKE_BACK in page
    page = press(client, "come_after_all", day, own)
    assert "2 places are yours." in page
    assert "withdrawn from this day" not in page
    press(client, "come_after_all", day, own)  # a second press
    assert states(day) == [
        *[(name, SignUp.State.WITHDRAWN) for name in ("Mara Moor", "Ida Moor")],
        *[(name, SignUp.State.CONFIRMED) for name in ("Mara Moor", "Ida Moor")],
    ]


def test_a_place_that_went_on_is_not_promised(client, day, guardian):
    own, _other = factories.make_sign_up(day, guardian), factories.make_sign_up(day, factories.make_member(day.group))
    waits = factories.make_sign_up(day, factories.make_member(day.group, name="Next One"), state="waiting")
    client.force_login(account_of(guardian))
    page = press(client, "withdraw", day, own)
    waits.refresh_from_db()
    assert waits.state == SignUp.State.OFFERED
    assert TAKE_BACK not in page
    assert "you are on the waiting list" in press(client, "come_after_all", day, own)


def test_only_what_is_in_ones_care_can_be_taken_back(client, day, guardian):
    own = factories.make_sign_up(day, guardian)
    services.withdraw(sign_up=own, actor=account_of(guardian), now=NOW)
    client.force_login(account_of(factories.make_member(day.group)))
    assert "withdrawn from this day" not in client.get(day.get_public_url()).text
    assert client.post(reverse("workdays:come_after_all", args=[day.share_code, own.pk])).status_code == 404
