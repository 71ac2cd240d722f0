"""The gear list of the largest day that is taken: no amount of it outgrows a rule of the trade."""

import pytest

from reedcrew.crews.contract import PEOPLE_MAX
from reedcrew.trade.day import Weather, Zone
from reedcrew.trade.disposal import STEMS_MAX
from reedcrew.trade.items import Item
from reedcrew.trade.pairing import plan_day
from tests.trade.gear_days import FIRST_AIDER, day_of, person


@pytest.mark.parametrize("depth_cm", [0, 60])
def test_a_thousand_people_get_a_whole_gear_list(depth_cm):
    zones = [
        Zone(name=f"bay {number}", depth_cm=depth_cm, units_max=500, stems=STEMS_MAX, current_m_s=0)
        for number in range(3)
    ]
    people = [person(f"p{number:04}", water_ready=False) for number in range(PEOPLE_MAX - 1)]
    hot = Weather(temp_c=45, rh_percent=90, water_temp_c=30)
    day = day_of(FIRST_AIDER, *people, zones=tuple(zones), weather=hot)
    plan = plan_day(day)
    assert len(plan.shore) + len(plan.not_placed) == PEOPLE_MAX
    needed = {line.item: line.needed for line in plan.gear}
    assert needed[Item.CLEANING_WATER] > 1000  # L
    assert needed[Item.DRINKING_WATER] > PEOPLE_MAX * 4 * 0.5  # L; half a litre an hour is little in such heat
