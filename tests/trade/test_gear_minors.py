"""What is handed to people under 18 (common practice, no source: no blades)."""

from reedcrew.trade.items import Item
from reedcrew.trade.pairing import plan_day
from tests.trade.pairing_days import child, day, wader, zone

BLADES = {Item.SPADE, Item.HAND_SICKLE, Item.CANE_CUTTER}


def test_a_minor_beside_the_guardian_in_shallow_water_is_handed_no_blade():
    plan = plan_day(day(wader("ada"), child("tim", "ada"), zones=zone(depth_cm=20)))
    (unit,) = plan.units
    handed = {member: {allotment.item for allotment in gear} for member, gear in unit.gear}
    assert handed["tim"] & BLADES == set()
    (line,) = [line for line in plan.gear if line.item is Item.SPADE]
    assert line.who + line.without == ("ada",)
