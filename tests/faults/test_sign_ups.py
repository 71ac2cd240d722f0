"""People sign up while parts fail: whoever was told a place has it, once, and nobody is told what is not so."""

from collections.abc import Callable
from pathlib import Path

import pytest
from django.db import connection

from tests.faults import sign_ups

pytestmark = pytest.mark.django_db(transaction=True)

PEOPLE, PLACES = 32, 12


def test_killed_web_processes_lose_and_double_no_sign_up(tmp_path: Path, report: Callable[[object], None]) -> None:
    counted = sign_ups.web_killed(tmp_path, people=PEOPLE, places=PLACES)
    report(counted)
    assert counted.is_whole(people=PEOPLE, places=PLACES), counted
    assert not any(what[0].isdigit() for what in counted.seen), (
        counted
    )  # connections broke; no page said anything wrong


if connection.vendor == "postgresql":  # SQLite has no server that could go away

    def test_a_database_that_goes_away_and_comes_back_loses_and_doubles_no_sign_up(
        tmp_path: Path, report: Callable[[object], None]
    ) -> None:
        counted = sign_ups.database_away(tmp_path, sign_ups.cut_and_shut, people=PEOPLE, places=PLACES)
        report(counted)
        assert counted.is_whole(people=PEOPLE, places=PLACES), counted
        assert set(counted.seen) <= {"503 part_away"}, counted
