"""Several people record at once: the count never falls below nothing, a set goes to one, and one press is one entry."""

import threading
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connections

from reedcrew.stock import services
from reedcrew.stock.errors import NotSoMany, SetNotReady
from reedcrew.stock.models import Booking, Kind, Movement, Occasion
from reedcrew.stock.queries import Outing, on_hand
from reedcrew.trade.items import Item
from tests.factories import END, NOW, START, make_account, make_group, make_member, make_sets, make_stock

AT_ONCE = 4
DAYS = [
    Outing(key=key, site=1, title="Day", address="/", date=START.date(), starts_at=START, ends_at=END)
    for key in range(AT_ONCE)
]

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(deed):
    """What each of several threads that start together gets from ``deed``, which is given the thread's number."""
    start = threading.Barrier(AT_ONCE)

    def run(number):
        start.wait()
        try:
            return deed(number)
        except (NotSoMany, SetNotReady) as refused:
            return refused
        finally:
            connections.close_all()

    with ThreadPoolExecutor(max_workers=AT_ONCE) as pool:
        return list(pool.map(run, range(AT_ONCE)))


def test_the_last_piece_goes_once():
    line, actor = make_stock(make_group(), Item.CHEST_WADERS, 1, size="43"), make_account()
    found = at_once(lambda _number: services.record_movement(line=line, kind=Kind.LOST, number=1, actor=actor, now=NOW))
    assert sorted(type(outcome).__name__ for outcome in found) == ["Entry", *["NotSoMany"] * (AT_ONCE - 1)]
    assert on_hand(line) == 0


def test_one_form_pressed_several_times_at_once_is_one_entry():
    line, actor, token = make_stock(make_group(), Item.SPADE, 1), make_account(), uuid.uuid4()
    found = at_once(
        lambda _number: services.record_movement(
            line=line, kind=Kind.RECEIVED, number=5, actor=actor, now=NOW, submission=token
        )
    )
    assert len({entry.pk for entry in found}) == 1
    assert on_hand(line) == 6


def test_a_set_that_several_organizers_hand_out_at_once_goes_to_one_person():
    group = make_group()
    (waders,), actors = make_sets(group, Item.CHEST_WADERS, 1, size="43"), [make_account() for _each in range(AT_ONCE)]
    people = [make_member(group) for _each in range(AT_ONCE)]
    found = at_once(
        lambda number: services.issue(
            group=group, outing=DAYS[0], member=people[number], sets=[waders], actor=actors[number], now=NOW
        )
    )
    assert sorted(type(outcome).__name__ for outcome in found) == ["Entry", *["SetNotReady"] * (AT_ONCE - 1)]
    assert Movement.objects.filter(gear_set=waders, kind=Kind.ISSUED).count() == 1


def test_days_that_overlap_and_are_booked_at_once_share_no_set():
    group = make_group()
    make_sets(group, Item.CHEST_WADERS, 2, size="43")
    actor, member = make_account(), make_member(group)
    want = services.Want(member=member, item=Item.CHEST_WADERS, size="43")
    found = at_once(lambda number: services.book(group=group, outing=DAYS[number], wants=[want], actor=actor, now=NOW))
    assert sorted(len(booked.bookings) for booked in found) == [0, 0, 1, 1]
    taken = list(Booking.objects.filter(ended_at=None).values_list("gear_set", flat=True))
    assert len(taken) == len(set(taken)) == 2
    assert Occasion.objects.count() == AT_ONCE
