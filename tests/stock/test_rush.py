"""Several people record at once: the count never falls below nothing, and one press is one movement."""

import threading
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connections

from reedcrew.stock import services
from reedcrew.stock.errors import NotSoMany
from reedcrew.stock.models import Movement
from reedcrew.stock.queries import on_hand
from reedcrew.trade.items import Item
from tests.factories import NOW, make_account, make_group, make_stock

AT_ONCE = 4

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(deed):
    """What each of several threads that start together gets from ``deed``."""
    start = threading.Barrier(AT_ONCE)

    def run(number):
        start.wait()
        try:
            return deed()
        except NotSoMany as refused:
            return refused
        finally:
            connections.close_all()

    with ThreadPoolExecutor(max_workers=AT_ONCE) as pool:
        return list(pool.map(run, range(AT_ONCE)))


def test_the_last_set_goes_once():
    line, actor = make_stock(make_group(), Item.CHEST_WADERS, 1, size="43"), make_account()
    found = at_once(
        lambda: services.record_movement(line=line, kind=Movement.Kind.LOST, number=1, actor=actor, now=NOW)
    )
    assert sorted(type(outcome).__name__ for outcome in found) == ["Movement", *["NotSoMany"] * (AT_ONCE - 1)]
    assert on_hand(line) == 0


def test_one_form_pressed_several_times_at_once_is_one_movement():
    line, actor, token = make_stock(make_group(), Item.SPADE, 1), make_account(), uuid.uuid4()
    found = at_once(
        lambda: services.record_movement(
            line=line, kind=Movement.Kind.RECEIVED, number=5, actor=actor, now=NOW, submission=token
        )
    )
    assert len({movement.pk for movement in found}) == 1
    assert on_hand(line) == 6
