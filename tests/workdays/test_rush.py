"""Hundreds of people press at once: never more confirmed than places, and the list in its order."""

import threading

import pytest
from django.db import connections

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
    start, failures = threading.Barrier(PEOPLE), []

    def press(member) -> None:
        try:
            start.wait()
            services.sign_up(day=day, member=member, place="water", actor=member.account, now=NOW)
        except Exception as error:
            failures.append(error)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=press, args=[member]) for member in members]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert failures == []
    sign_ups = list(SignUp.objects.filter(day=day).order_by("number"))
    assert len(sign_ups) == PEOPLE
    assert [s.number for s in sign_ups] == list(range(1, PEOPLE + 1))
    assert [s.state for s in sign_ups] == ["confirmed"] * PLACES + ["waiting"] * (PEOPLE - PLACES)
