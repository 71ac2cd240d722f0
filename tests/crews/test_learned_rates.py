"""The gear list of a day follows what the group really cuts in an hour."""

import datetime

import pytest

from reedcrew.crews.inputs import day_input
from reedcrew.trade.policy import DEFAULT_POLICY
from tests.factories import NOW, make_closed_day, make_day, make_group, make_stand, make_zone

pytestmark = pytest.mark.django_db


def test_a_day_is_planned_on_the_rate_of_the_closed_days_of_the_group():
    """By hand: 2 h × 100 and 480 stems over 2 h and 8 × 1 h: 68 stems an hour."""
    stand = make_stand(make_group())
    make_closed_day(stand, datetime.date(2026, 7, 18), tallies={make_zone(stand): 480}, in_water=8, hours=1)
    found = day_input(make_day(stand), NOW).rates
    assert found.in_water.stems_per_hour == pytest.approx(68)
    assert found.on_land.stems_per_hour == DEFAULT_POLICY.land_stems_per_hour


def test_another_group_s_days_teach_nothing():
    other = make_stand(make_group())
    make_closed_day(other, datetime.date(2026, 7, 18), tallies={make_zone(other): 480}, in_water=8, hours=1)
    found = day_input(make_day(make_stand(make_group())), NOW).rates
    assert found.in_water.stems_per_hour == DEFAULT_POLICY.water_stems_per_hour
