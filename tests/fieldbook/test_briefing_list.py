"""What a crew hears before the water opens: of this site, this plan and this weather."""

import datetime
from decimal import Decimal

import pytest

from reedcrew.fieldbook.briefing_list import briefing_list
from reedcrew.people.roles import Role
from reedcrew.trade.briefing import Item
from tests import factories
from tests.factories import START

pytestmark = pytest.mark.django_db


def lines_of(day) -> dict[str, str]:
    return {item.id: " ".join(item.lines) for item in briefing_list(day, START)}


def test_a_briefing_names_what_this_site_and_its_weather_ask_for():
    group = factories.make_group()
    site = factories.make_site(group, hazards="Old dock posts under water\n\nDeep channel beyond the buoys")
    stand = factories.make_stand(group, site=site)
    factories.make_zone(stand, name="Deep edge", depth_cm=60)
    factories.make_zone(stand, name="Channel", depth_cm=180)
    day = factories.make_day(stand, forecast_temp_c=Decimal(36), forecast_rh_percent=60, forecast_water_temp_c=9)
    aider = factories.make_member(
        group, name="Ada First", role=Role.CREW_LEAD, profile={"first_aid_until": datetime.date(2027, 1, 1)}
    )
    factories.make_sign_up(day, aider)
    told = lines_of(day)
    assert list(told) == [item.value for item in Item]
    assert told["hazards"] == "Old dock posts under water Deep channel beyond the buoys"
    assert "North gate" in told["emergency"]
    assert "44.250000, -76.500000" in told["emergency"]
    assert "First aid: Ada First" in told["people"]
    assert "No spotter is named" in told["people"]
    assert "minutes" in told["weather"]
    assert "Deep edge: 60\N{NO-BREAK SPACE}cm deep" in told["water"]
    assert (
        "Channel: 180\N{NO-BREAK SPACE}cm deep, current 0.00\N{NO-BREAK SPACE}m/s. Closed: nobody enters."
        in told["water"]
    )
    assert "30 minutes after the last thunder" in told["lightning"]  # US National Weather Service (from memory)


def test_what_nobody_knows_of_a_site_is_said():
    stand = factories.make_stand(factories.make_group())
    told = lines_of(factories.make_day(stand))
    assert "No hazards of this site are written down" in told["hazards"]
    assert "No first-aider is named" in told["people"]
    assert all(told.values())


def test_a_longer_roster_takes_no_more_queries(count_queries):
    stand = factories.make_stand(factories.make_group())
    day = factories.make_day(stand)
    few = count_queries(lambda: briefing_list(day, START))
    for _number in range(5):
        factories.make_sign_up(day, factories.make_member(stand.site.group))
    assert count_queries(lambda: briefing_list(day, START)) == few
