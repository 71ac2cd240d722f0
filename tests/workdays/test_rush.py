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

PLACES = 40


@pytest.mark.django_db(transaction=True)
def test_hundreds_of_sign_ups_at_once_fill_forty_places():
    group = factories.make_group()
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand, water_places=PLACES)
    # An embedded installation answers a few requests at once, one with PostgreSQL as many as its hosts have threads.
    people, at_once = (300, 300) if connection.vendor == "postgresql" else (100, WEB_THREADS)
    members = [factories.make_member(group) for _i in range(people)]
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
        list(pool.map(press, range(people)))  # raises what any press raised

    sign_ups = list(SignUp.objects.filter(day=day).order_by("number"))
    assert len(sign_ups) == people
    assert [s.number for s in sign_ups] == list(range(1, people + 1))
    assert [s.state for s in sign_ups] == ["confirmed"] * PLACES + ["waiting"] * (people - PLACES)
