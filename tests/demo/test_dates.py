"""The demo follows the calendar of the day on which it is loaded."""

import datetime
import io

import pytest
from django.core.management import call_command
from django.db import transaction

from reedcrew.demo.dates import WINDOWS, season_for
from reedcrew.demo.services import load_season
from reedcrew.trade.season import is_permitted
from tests.demo.seasons import check_season, fingerprint, next_saturday

FIRST, DAYS = datetime.date(2026, 1, 1), 4 * 365 + 1  # four years, 29 February 2028 among them


def test_dates_are_right_on_every_day_of_four_years():
    for offset in range(DAYS):
        today = FIRST + datetime.timedelta(days=offset)
        season = season_for(today)
        assert season.next_day == next_saturday(today)
        assert season.later_day > season.next_day
        assert 6 <= len(season.closed) <= 8
        dates = [day.date for day in season.closed]
        assert dates == sorted(set(dates))
        assert dates[-1] < today
        assert {season.year - 2, season.year - 1} <= {date.year for date in dates}
        assert all(is_permitted(WINDOWS[day.stand], day.date) for day in season.closed)


# The calendar is the same on every database, and test_season.py loads the demo on both: SQLite is enough here.
@pytest.mark.once
@pytest.mark.django_db
def test_the_same_moment_makes_the_same_season_even_on_29_february():
    now = datetime.datetime(2028, 2, 29, 12, 0, tzinfo=datetime.UTC)
    found = []
    for _time in range(2):
        with transaction.atomic():
            load_season(now=now)
            found.append(fingerprint())
            if len(found) == 1:
                check_season(now)
            transaction.set_rollback(True)
    assert found[0] == found[1]


@pytest.mark.django_db
def test_without_a_demo_the_other_commands_say_so():
    for command, words in (
        ("plan_next", "No work day of the demo is posted: there is nothing to plan.\n"),
        ("demo_accounts", "No demo is loaded.\n"),
    ):
        out = io.StringIO()
        call_command(command, stdout=out)
        assert out.getvalue() == words
