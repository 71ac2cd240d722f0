"""Queries of the ten most used pages: as many as the table says, however many rows there are."""

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.bench.page_rows import make_group_of_pages
from tests.factories import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.once]

QUERIES = {
    "start": 31,
    "group": 29,
    "days": 6,
    "day": 42,
    "public day": 8,
    "roster": 7,
    "people": 5,
    "stand": 23,
    "stock": 5,
    "hours": 9,
}


def queries_of_pages(rows: int) -> dict[str, int]:
    client, pages = make_group_of_pages(rows)
    found = {}
    for name, address in pages.items():
        client.get(address)  # what is asked once for a session is asked now
        with CaptureQueriesContext(connection) as taken:
            assert client.get(address).status_code == 200, name
        found[name] = len(taken)
    return found


def test_the_ten_most_used_pages_take_as_many_queries_as_the_table_says_for_any_number_of_rows(settings) -> None:
    settings.USERSESSIONS_TRACK_ACTIVITY = False
    with time_machine.travel(NOW, tick=False):
        assert queries_of_pages(3) == QUERIES
        assert queries_of_pages(30) == QUERIES
