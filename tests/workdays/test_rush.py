"""Hundreds of people press at once: never more confirmed than places, and the list in its order."""

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection, connections

from reedcrew.web.management.commands.serve import WEB_THREADS
from reedcrew.workdays import services
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import NOW

PEOPLE, PLACES = 300, 40


@pytest.mark.django_db(transaction=True)
def test_three_hundred_sign_ups_at_once_fill_forty_places():
    group = factories.make_group()
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand, water_places=PLACES)
    members = [factories.make_member(group) for _i in range(PEOPLE)]
    # An embedded installation answers a few requests at once, one with PostgreSQL as many as its hosts have threads.
    at_once = PEOPLE if connection.vendor == "postgresql" else WEB_THREADS
    start = threading.Barrier(at_once)

    def press(number: int) -> None:
        if number < at_once:
            start.wait()
        member = members[number]
        try:
            services.sign_up(day=day, member=member, place="water", actor=member.account, now=NOW)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(max_workers=at_once) as pool:
        list(pool.map(press, range(PEOPLE)))  # raises what any press raised

    sign_ups = list(SignUp.objects.filter(day=day).order_by("number"))
    assert len(sign_ups) == PEOPLE
    assert [s.number for s in sign_ups] == list(range(1, PEOPLE + 1))
    assert [s.state for s in sign_ups] == ["confirmed"] * PLACES + ["waiting"] * (PEOPLE - PLACES)
