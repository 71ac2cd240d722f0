"""What a crew hears before anybody goes into water: the items, and the advice that is the same on every site.

Advice marked (cp) is common practice with no published source. A place that uses other signals uses its own.
"""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from reedcrew.trade.reasons import Reason, reason

LIGHTNING_WAIT_MIN = 30  # at least, after the last thunder: extension.missouri.edu, tdi.texas.gov


class Item(StrEnum):
    """The items in the order in which they are gone through. The values are kept in rows: they never change."""

    HAZARDS = "hazards"
    EMERGENCY = "emergency"
    PEOPLE = "people"
    WEATHER = "weather"
    WATER = "water"
    SIGNALS = "signals"
    BLADES = "blades"
    FOOTWEAR = "footwear"
    LIGHTNING = "lightning"
    DRINKING = "drinking"


# Of what no site and no forecast tells.
ADVICE: Mapping[Item, tuple[Reason, ...]] = MappingProxyType(
    {
        Item.WATER: (reason("briefing.pairs"), reason("briefing.jacket"), reason("briefing.come_out")),
        Item.SIGNALS: (  # (cp)
            reason("briefing.all_out"),
            reason("briefing.stop"),
            reason("briefing.well"),
            reason("briefing.count"),
        ),
        Item.BLADES: (  # (cp)
            reason("briefing.covered"),
            reason("briefing.reach"),
            reason("briefing.cut_away"),
        ),
        Item.FOOTWEAR: (reason("briefing.stubs"),),  # design, rule 5
        Item.LIGHTNING: (
            reason("briefing.thunder"),
            reason("briefing.wait", minutes=LIGHTNING_WAIT_MIN),
        ),
        Item.DRINKING: (reason("briefing.drink"),),
    }
)
