"""The waiting list: who is asked, who is passed over, and that no place is given twice."""

import datetime

import pytest
import time_machine

from reedcrew.people.roles import Role
from reedcrew.workdays import errors, services, waiting_list
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db

DAYS = datetime.timedelta(days=1)


@pytest.fixture
def organizer(group):
    return factories.make_member(group, role=Role.ORGANIZER).account


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand, water_places=1, land_places=1)


def sign_up(day, member, now=NOW) -> SignUp:
    return services.sign_up(day=day, member=member, place="water", actor=member.account, now=now).sign_up


def queue(group, day, number: int) -> list[SignUp]:
    """One with the only place, the others waiting for it."""
    return [sign_up(day, factories.make_member(group)) for _ in range(number)]


def states(*sign_ups: SignUp) -> list[str]:
    for each in sign_ups:
        each.refresh_from_db()
    return [each.state for each in sign_ups]


def withdraw(sign_up: SignUp, now=NOW) -> None:
    services.withdraw(sign_up=sign_up, actor=sign_up.member.account, now=now)


def test_a_free_place_is_offered_to_the_first_of_the_list_with_a_time_to_answer(group, day):
    first, second, third = queue(group, day, 3)
    withdraw(first)
    assert states(first, second, third) == ["withdrawn", "offered", "waiting"]
    assert NOW < second.offer_until < START


def test_whoever_takes_the_offered_place_is_confirmed_and_a_second_press_changes_nothing(group, day):
    first, second = queue(group, day, 2)
    withdraw(first)
    for _ in range(2):
        waiting_list.take_place(sign_up=second, actor=second.member.account, now=NOW + DAYS / 2)
    assert states(second) == ["confirmed"]
    assert second.offer_until is None


def test_an_offered_place_is_nobody_else_s(group, day):
    first, _asked = queue(group, day, 2)
    withdraw(first)
    assert sign_up(day, factories.make_member(group)).state == "waiting"


def test_an_unanswered_offer_passes_to_the_next_and_the_person_is_not_asked_again(group, day):
    first, second, third = queue(group, day, 3)
    withdraw(first)
    states(second)
    late = second.offer_until
    assert waiting_list.lapsed_offers(late - DAYS / 24) == []
    assert waiting_list.lapsed_offers(late) == [day.pk]
    waiting_list.pass_over(day_pk=day.pk, now=late)
    assert states(second, third) == ["waiting", "offered"]
    withdraw(third, now=late)
    assert states(second) == ["waiting"]
    services.cancel_day(day=day, reason="High water", actor=first.member.account, now=late)
    with pytest.raises(errors.DayNotOpen):
        waiting_list.take_place(sign_up=second, actor=second.member.account, now=late)


def test_whoever_let_an_offer_lapse_may_still_take_a_place_that_stays_free(group, day):
    first, second = queue(group, day, 2)
    withdraw(first)
    states(second)
    late = second.offer_until
    waiting_list.pass_over(day_pk=day.pk, now=late)
    waiting_list.take_place(sign_up=second, actor=second.member.account, now=late)
    assert states(second) == ["confirmed"]


def test_whoever_let_an_offer_lapse_does_not_keep_newcomers_out(group, day):
    first, second = queue(group, day, 2)
    withdraw(first)
    states(second)
    late = second.offer_until
    waiting_list.pass_over(day_pk=day.pk, now=late)
    assert sign_up(day, factories.make_member(group), now=late).state == "confirmed"
    with pytest.raises(errors.NoPlaceForYou):
        waiting_list.take_place(sign_up=second, actor=second.member.account, now=late)


def test_nobody_takes_a_place_before_their_turn(group, day):
    first, _asked, third = queue(group, day, 3)
    withdraw(first)
    with pytest.raises(errors.NoPlaceForYou):
        waiting_list.take_place(sign_up=third, actor=third.member.account, now=NOW)


def test_an_organizer_gives_a_free_place_out_of_turn_but_never_one_that_is_kept(group, day, organizer):
    first, second, third = queue(group, day, 3)
    withdraw(first)
    with pytest.raises(errors.NoPlaceForYou):
        waiting_list.give_place(sign_up=third, actor=organizer, now=NOW)
    day.water_places = 2
    day.save()
    waiting_list.give_place(sign_up=third, actor=organizer, now=NOW)
    assert states(second, third) == ["offered", "confirmed"]


def test_close_to_the_start_nobody_is_asked_and_the_organizer_gives_the_place(group, day, organizer):
    first, second = queue(group, day, 2)
    close = START - datetime.timedelta(hours=1)
    withdraw(first, now=close)
    assert states(second) == ["waiting"]
    waiting_list.give_place(sign_up=second, actor=organizer, now=close)
    assert states(second) == ["confirmed"]


def test_more_places_are_offered_to_as_many_people(group, day, organizer):
    people = queue(group, day, 4)
    facts = services.DayFacts(
        title=day.title,
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        zones=list(day.zones.all()),
        water_places=3,
        land_places=1,
    )
    services.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=NOW)
    assert states(*people) == ["confirmed", "offered", "offered", "waiting"]


def test_places_kept_for_people_who_are_asked_cannot_be_taken_away(group, day, organizer):
    first, _asked = queue(group, day, 2)
    withdraw(first)
    facts = services.DayFacts(
        title=day.title,
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        zones=list(day.zones.all()),
        water_places=0,
        land_places=1,
    )
    with pytest.raises(errors.FewerPlacesThanPeople):
        services.edit_day(day=day, version=day.version, facts=facts, actor=organizer, now=NOW)


def test_an_offer_that_is_declined_goes_to_the_next(group, day):
    first, second, third = queue(group, day, 3)
    withdraw(first)
    withdraw(second)
    assert states(second, third) == ["withdrawn", "offered"]


def test_a_place_is_taken_on_the_day_s_page(group, day, client):
    first, second = queue(group, day, 2)
    withdraw(first, now=NOW)
    client.force_login(second.member.account)
    with time_machine.travel(NOW, tick=False):
        page = client.get(day.get_public_url())
        assert f"Take the place for {second.member.name}" in page.content.decode()
        client.post(f"{day.get_public_url()}take/{second.pk}/")
    assert states(second) == ["confirmed"]
