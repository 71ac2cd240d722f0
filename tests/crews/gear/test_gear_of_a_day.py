"""The gear page of a day: the plan's sets are booked, handed out with one press, and come back."""

import datetime
import re
import uuid
from html import unescape

import pytest
import time_machine
from django.urls import reverse

from reedcrew.crews.gear import services
from reedcrew.crews.gear.errors import GearDayClosed, NoBladeUnder18, NotOfTheDay
from reedcrew.crews.gear.queries import gear_sheet, pieces_out, wants_of
from reedcrew.crews.inputs import free_stock
from reedcrew.crews.models import Assignment
from reedcrew.crews.services import accept_plan, make_plan
from reedcrew.people.roles import Role
from reedcrew.stock import services as stock
from reedcrew.stock.models import Booking, Kind, Place
from reedcrew.stock.queries import on_hand, place_counts, state_of, story
from reedcrew.stock.services import Pieces
from reedcrew.trade.items import Item
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import NOW, START, account_of, make_sets, make_stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(group):
    return factories.make_member(group, role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def actor(lead):
    return account_of(lead)


def planned_day(group, actor, *, site=None, accepted=True, waders=2):
    """A day of one pair, planned on what is in stock."""
    stand = factories.make_stand(group, site=site)
    factories.make_zone(stand)
    day = factories.make_day(stand)
    for number in range(waders):
        factories.make_sign_up(day, factories.make_water_member(group, name=f"Wader {number}"))
    for number in range(2):
        aid = {"earlier_water_days": 9, "first_aid_until": START.date()}
        ashore = factories.make_member(group, name=f"Ashore {number}", profile=aid)
        factories.make_sign_up(day, ashore, place=SignUp.Place.LAND)
    plan = make_plan(day=day, actor=actor, now=NOW)
    if accepted:
        accept_plan(plan=plan, actor=actor, now=NOW)
    return day


@pytest.fixture
def sets(group):
    make_stock(group, Item.GLOVES, 4, size="8")
    make_sets(group, Item.LIFE_JACKET, 3, size="adult")
    return make_sets(group, Item.CHEST_WADERS, 3, size="43")


def person_of(day, name):
    return next(person for person in gear_sheet(day).people if person.member.name == name)


def hand_out_all(day, actor):
    for person in gear_sheet(day).people:
        if person.waits_for_gear:
            services.hand_out(
                day=day,
                member=person.member,
                sets=person.sets_booked,
                counted=person.counted_wanted,
                actor=actor,
                now=NOW,
            )


# --- Booking ---------------------------------------------------------------------------------------------------------


def test_accepting_a_plan_books_a_set_for_each_thing_that_it_lends(group, actor, sets):
    day = planned_day(group, actor)
    wanted = [want for want in wants_of(day) if want.item in {Item.CHEST_WADERS, Item.LIFE_JACKET}]
    booked = Booking.objects.filter(ended_at=None).select_related("gear_set__line")
    assert sorted((each.member.pk, each.gear_set.line.item) for each in booked) == sorted(
        (want.member.pk, want.item.value) for want in wanted
    )
    assert len(wanted) == 4
    assert not gear_sheet(day).has_unbooked


def test_a_proposal_books_nothing_until_somebody_asks(group, actor, sets):
    day = planned_day(group, actor, accepted=False)
    assert not Booking.objects.exists()
    assert gear_sheet(day).has_unbooked
    assert len(services.book_for(day=day, actor=actor, now=NOW).bookings) == 4


def test_a_day_that_is_cancelled_gives_its_sets_free(group, actor, sets):
    day = planned_day(group, actor)
    workdays.cancel_day(day=day, reason="Thunder", actor=actor, now=NOW)
    assert not Booking.objects.filter(ended_at=None).exists()


def test_two_days_at_once_book_different_sets(group, actor):
    make_sets(group, Item.CHEST_WADERS, 4, size="43")
    make_sets(group, Item.LIFE_JACKET, 4, size="adult")
    for _day in range(2):
        planned_day(group, actor)
    taken = list(Booking.objects.filter(ended_at=None).values_list("gear_set", flat=True))
    assert len(taken) == len(set(taken)) == 8


def test_what_an_overlapping_day_has_handed_out_is_taken_off_once(group, actor):
    make_sets(group, Item.CHEST_WADERS, 4, size="43")
    make_sets(group, Item.LIFE_JACKET, 4, size="adult")
    first, second = planned_day(group, actor), planned_day(group, actor, accepted=False)

    def free():
        return {(line.item, line.size): line.count for line in free_stock(second)}

    before = free()
    assert before[Item.CHEST_WADERS, "43"] == 2
    hand_out_all(first, actor)
    assert free() == before


def test_pieces_without_a_label_serve_where_no_set_is_free(group, actor):
    make_sets(group, Item.CHEST_WADERS, 1, size="43")
    make_stock(group, Item.CHEST_WADERS, 1, size="43")
    make_stock(group, Item.LIFE_JACKET, 2, size="adult")
    day = planned_day(group, actor)
    assert services.book_for(day=day, actor=actor, now=NOW).unmet == []
    assert not gear_sheet(day).has_unbooked
    hand_out_all(day, actor)
    assert sum(name.startswith("chest waders") for _member, name in pieces_out(day)) == 2


# --- Handing out and taking back -------------------------------------------------------------------------------------


def test_the_plan_s_gear_goes_out_and_comes_back(group, actor, sets):
    day = planned_day(group, actor)
    sheet = gear_sheet(day)
    assert (sheet.pieces_out, sheet.to_hand_out) == (0, len(wants_of_the_stock(day)))
    hand_out_all(day, actor)
    wader = person_of(day, "Wader 0")
    assert {each.line.item for each in wader.sets_out} == {"chest waders", "life jacket"}
    assert not wader.waits_for_gear
    assert [name for member, name in pieces_out(day) if member == wader.member][:1] == [str(wader.sets_out[0])]
    services.take_back(
        day=day,
        member=wader.member,
        sets=dict.fromkeys(wader.sets_out, Kind.RETURNED),
        counted=[(each, Kind.RETURNED) for each in wader.counted_out],
        actor=actor,
        now=NOW,
    )
    wader = person_of(day, "Wader 0")
    assert (wader.has_gear, wader.waits_for_gear) == (False, False)  # it is not handed out a second time


def wants_of_the_stock(day):
    """What the plan lends and the stock of this test has a line of."""
    return [want for want in wants_of(day) if want.item in {Item.CHEST_WADERS, Item.LIFE_JACKET, Item.GLOVES}]


def test_a_set_of_waders_is_followed_from_booking_to_stock(group, actor, sets):
    day = planned_day(group, actor)
    hand_out_all(day, actor)
    wader = person_of(day, "Wader 0")
    waders = next(each for each in wader.sets_out if each.line.item == Item.CHEST_WADERS)
    values = {"actor": actor, "now": NOW}
    services.take_back(day=day, member=wader.member, sets={waders: Kind.RETURNED}, **values)
    for kind in (Kind.CLEANED, Kind.DRIED):
        stock.mark(group=group, kind=kind, sets=[waders], **values)
    organizer = factories.make_member(group, role=Role.ORGANIZER)
    told = {row.what for row in story(waders, organizer)}
    assert told == {"received", "booked", "handed out", "returned", "cleaned", "dried"}
    assert state_of(waders).place is Place.SHELF


def test_another_set_than_the_booked_one_frees_the_booked_one(group, actor, sets):
    day = planned_day(group, actor)
    wader = person_of(day, "Wader 0")
    booked = next(each.booked for each in wader.sets_wanted if each.item == Item.CHEST_WADERS)
    (spare,) = {each.pk: each for each in sets}.keys() - set(Booking.objects.values_list("gear_set", flat=True))
    other = next(each for each in sets if each.pk == spare)
    services.hand_out(day=day, member=wader.member, sets=[other], actor=actor, now=NOW)
    assert not Booking.objects.filter(gear_set=booked, ended_at=None).exists()
    booked_after = services.book_for(day=day, actor=actor, now=NOW)
    assert [each for each in booked_after.bookings if each.member_id == wader.member.pk and each.gear_set in sets] == []


def test_only_people_of_the_day_are_handed_gear(group, actor, sets):
    day = planned_day(group, actor)
    stranger = factories.make_member(group, name="Sam")
    with pytest.raises(NotOfTheDay, match="Sam has no place"):
        services.hand_out(day=day, member=stranger, sets=sets[:1], actor=actor, now=NOW)
    assert state_of(sets[0]).place is Place.SHELF


@pytest.mark.parametrize("item", [Item.HAND_SICKLE, Item.CANE_CUTTER, Item.SPADE])
def test_nobody_under_18_is_handed_a_blade(group, actor, sets, item):
    day = planned_day(group, actor)
    child = factories.make_child(factories.make_member(group), name="Kim")
    factories.make_sign_up(day, child, place=SignUp.Place.LAND)
    line, gloves = make_stock(group, item, 2), make_stock(group, Item.GLOVES, 2, size="6")
    with pytest.raises(NoBladeUnder18, match="Kim is under 18"):
        services.hand_out(
            day=day,
            member=child,
            counted=[Pieces(line=gloves, number=1), Pieces(line=line, number=1)],
            actor=actor,
            now=NOW,
        )
    assert on_hand(gloves) == 2
    services.hand_out(day=day, member=child, counted=[Pieces(line=gloves, number=1)], actor=actor, now=NOW)


def test_after_the_day_is_closed_gear_comes_back_but_goes_out_no_more(group, actor, sets):
    day = planned_day(group, actor)
    hand_out_all(day, actor)
    after = day.ends_at + datetime.timedelta(hours=1)
    workdays.close_day(day=day, outcomes={}, actor=actor, now=after)
    day.refresh_from_db()
    wader = person_of(day, "Wader 0")
    services.take_back(
        day=day, member=wader.member, sets=dict.fromkeys(wader.sets_out, Kind.RETURNED), actor=actor, now=after
    )
    with pytest.raises(GearDayClosed):
        services.hand_out(day=day, member=wader.member, sets=sets[2:], actor=actor, now=after)


def test_the_sheet_takes_as_many_queries_for_many_people(group, actor, count_queries):
    make_sets(group, Item.CHEST_WADERS, 12, size="43")
    make_sets(group, Item.LIFE_JACKET, 12, size="adult")
    few, many = planned_day(group, actor), None
    hand_out_all(few, actor)
    small = count_queries(lambda: gear_sheet(few))
    many = planned_day(group, actor, waders=8)
    hand_out_all(many, actor)
    assert Assignment.objects.filter(plan__day=many).count() > Assignment.objects.filter(plan__day=few).count()
    assert count_queries(lambda: gear_sheet(many)) == small


# --- Pages -----------------------------------------------------------------------------------------------------------


def url(name, day, *args):
    return reverse(f"crews:{name}", args=[day.group.slug, day.pk, *args])


def text_of(response):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def hidden_of(card, *, out):
    person = card.person
    return {
        "submission": str(card.submission),
        "sets": [each.pk for each in (person.sets_out if out else person.sets_booked)],
        "pieces": card.pieces_out if out else card.pieces_wanted,
    }


def card_of(page, name):
    return next(card for card in page.context["cards"] if card.person.member.name == name)


@pytest.fixture
def at_the_shed(client, lead):
    client.force_login(account_of(lead))
    return client


def test_one_press_hands_out_what_the_plan_says_and_one_takes_it_back(at_the_shed, group, actor, sets):
    day = planned_day(group, actor)
    page = at_the_shed.get(url("gear", day))
    assert "Pieces with people 0" in text_of(page)
    card = card_of(page, "Wader 0")
    for _press in range(2):
        answer = at_the_shed.post(url("gear_out", day, card.person.member.pk), hidden_of(card, out=False), follow=True)
        assert "Wader 0 has their gear." in text_of(answer)
    assert "Pieces with people 3" in text_of(answer)
    card = card_of(answer, "Wader 0")
    for _press in range(2):
        answer = at_the_shed.post(url("gear_back", day, card.person.member.pk), hidden_of(card, out=True), follow=True)
        assert "is back, to be cleaned and dried" in text_of(answer)
    assert "Pieces with people 0" in text_of(answer)
    assert "gave all back" in text_of(answer)


def test_the_closing_page_names_who_still_has_what(at_the_shed, group, actor, sets):
    day = planned_day(group, actor)
    address = reverse("fieldbook:close", args=[group.slug, day.pk])
    assert "Gear that is still out" not in text_of(at_the_shed.get(address))
    hand_out_all(day, actor)
    shown = text_of(at_the_shed.get(address))
    assert "Gear that is still out" in shown
    assert f"Wader 0 {person_of(day, 'Wader 0').sets_out[0]}" in shown


def test_a_press_after_the_set_went_elsewhere_says_so_and_changes_nothing(at_the_shed, group, actor, sets):
    day = planned_day(group, actor)
    card = card_of(at_the_shed.get(url("gear", day)), "Wader 0")
    stock.move_set(gear_set=card.person.sets_booked[0], kind=Kind.DAMAGED, actor=actor, now=NOW)
    answer = at_the_shed.post(url("gear_out", day, card.person.member.pk), hidden_of(card, out=False), follow=True)
    assert "can't be handed out: needs repair" in text_of(answer)
    assert not person_of(day, "Wader 0").has_gear


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"pieces": "x"}, "broken list"),
        ({"pieces": "1:9:9"}, "broken list"),
        ({"pieces": "9" * 30 + ":1"}, "broken list"),
        ({"pieces": "999999999:1"}, "the stock has not"),
        ({"sets": ["9" * 30]}, "not one of the available choices"),
        ({"sets": ["abc"]}, "is not a valid value"),
        ({"submission": ""}, "Open the page again"),
        ({"sets": [], "pieces": ""}, "Choose at least one piece"),
    ],
)
def test_a_press_with_broken_words_is_answered_and_changes_nothing(at_the_shed, group, actor, sets, values, words):
    day = planned_day(group, actor)
    card = card_of(at_the_shed.get(url("gear", day)), "Wader 0")
    for name in ("gear_out", "gear_back"):
        answer = at_the_shed.post(
            url(name, day, card.person.member.pk), {**hidden_of(card, out=False), **values}, follow=True
        )
        assert answer.status_code == 200
        assert words in text_of(answer)
    assert not person_of(day, "Wader 0").has_gear


def test_gear_comes_back_in_parts_damaged_and_lost(at_the_shed, group, actor, sets):
    day = planned_day(group, actor)
    hand_out_all(day, actor)
    wader = person_of(day, "Wader 0")
    address = url("gear_person", day, wader.member.pk)
    page = at_the_shed.get(address)
    waders, jacket = sorted(wader.sets_out, key=lambda each: each.line.item)
    (gloves,) = wader.counted_out
    data = {
        "form": "back",
        "back-submission": str(page.context["back"]["submission"].value()),
        f"back-set_{waders.pk}": "damaged",
        f"back-lost_{gloves.line.pk}": "2",
        "back-note": "Torn at the heel",
    }
    refused = at_the_shed.post(address, data)
    assert "Wader 0 has 1 of “gloves 8”, so 2 cannot come back" in text_of(refused)
    assert "Torn at the heel" in refused.content.decode()
    assert state_of(waders).place is Place.ISSUED
    at_the_shed.post(address, {**data, f"back-lost_{gloves.line.pk}": "1"})
    assert (state_of(waders).place, state_of(jacket).place) == (Place.REPAIR, Place.ISSUED)
    assert place_counts([gloves.line])[gloves.line.pk][Place.LOST] == 1


def test_another_set_and_something_else_are_handed_out(at_the_shed, group, actor, sets):
    day = planned_day(group, actor)
    ashore = person_of(day, "Ashore 0")
    sled = make_stock(group, Item.SLED, 2)
    address = url("gear_person", day, ashore.member.pk)
    page = at_the_shed.get(address)
    free = page.context["out"].fields["other_set"].choices[-1][0]
    data = {"form": "out", "out-submission": str(page.context["out"]["submission"].value()), "out-other_line": sled.pk}
    assert "Write how many of it" in text_of(at_the_shed.post(address, data))
    assert "only 2 are in stock" in text_of(at_the_shed.post(address, {**data, "out-other_number": "3"}))
    assert "is not one of the available choices" in text_of(
        at_the_shed.post(address, {**data, "out-other_number": "1", "out-other_set": "999999"})
    )
    at_the_shed.post(address, {**data, "out-other_number": "1", "out-other_set": free})
    found = person_of(day, "Ashore 0")
    assert [str(each.pk) for each in found.sets_out] == [free]
    assert Pieces(line=sled, number=1) in found.counted_out


def test_a_scanned_set_is_handed_out_on_the_day_that_is_near(at_the_shed, group, actor, sets):
    day = planned_day(group, actor)
    free = next(each for each in sets if not Booking.objects.filter(gear_set=each).exists())
    with time_machine.travel(START - datetime.timedelta(hours=1), tick=False):
        page = at_the_shed.get(free.get_absolute_url())
    address = url("gear_set", day, free.code)
    assert address in page.content.decode()
    token = str(at_the_shed.get(address).context["form"]["submission"].value())
    member = person_of(day, "Ashore 0").member
    for _press in range(2):
        answer = at_the_shed.post(address, {"member": member.pk, "submission": token}, follow=True)
        assert "Ashore 0 has it." in text_of(answer)
    assert state_of(free).holder == member
    refused = at_the_shed.post(address, {"member": member.pk, "submission": str(uuid.uuid4())})
    assert "can't be handed out" in text_of(refused)


def test_a_set_offers_no_day_that_is_far(at_the_shed, group, actor, sets):
    planned_day(group, actor)
    with time_machine.travel(START - datetime.timedelta(days=3), tick=False):
        assert "Hand out:" not in text_of(at_the_shed.get(sets[0].get_absolute_url()))


def test_booking_by_a_press_says_what_none_is_free_for(at_the_shed, group, actor, sets):
    day = planned_day(group, actor, accepted=False)
    for each in sets:
        stock.move_set(gear_set=each, kind=Kind.LOST, actor=actor, now=NOW)
    answer = at_the_shed.post(url("gear_book", day), follow=True)
    assert "2 sets are booked for the day" in text_of(answer)
    assert "No set is free: chest waders 43 for Wader 0" in text_of(answer)


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.COORDINATOR])
def test_the_gear_page_is_for_those_who_handle_gear(client, group, actor, sets, role):
    day = planned_day(group, actor)
    client.force_login(account_of(factories.make_member(group, role=role)))
    member = person_of(day, "Wader 0").member.pk
    for name, args in (("gear", ()), ("gear_person", (member,)), ("gear_set", (sets[0].code,))):
        assert client.get(url(name, day, *args)).status_code == 403
    for name, args in (("gear_book", ()), ("gear_out", (member,)), ("gear_back", (member,))):
        assert client.post(url(name, day, *args)).status_code == 403


def test_another_group_s_gear_is_not_there(client, group, actor, sets):
    day = planned_day(group, actor)
    own = factories.make_group()
    client.force_login(account_of(factories.make_member(own, role=Role.ORGANIZER)))
    assert client.get(url("gear", day)).status_code == 404
    own_day = factories.make_day(factories.make_stand(own))
    assert client.get(url("gear_set", own_day, sets[0].code)).status_code == 404
    foreign = person_of(day, "Wader 0").member.pk
    for name in ("gear_out", "gear_back"):
        assert client.post(url(name, own_day, foreign), {"submission": str(uuid.uuid4())}).status_code == 404
