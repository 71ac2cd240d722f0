"""What happens to cut reed: rule 6 of the design."""

import datetime
import math
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.errors import Faults
from reedcrew.trade.month_day import MonthDay
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.season import contains

# From mid-August seed may be on the heads in mid-latitudes, from mid-September farther north (convention from flowering
# dates; seed is shed until January and empty heads stand until spring). The earlier date holds everywhere.
SEED_FROM, SEED_UNTIL = MonthDay(8, 15), MonthDay(4, 30)

# Fresh stems in one bag (convention; no bulk density was found): at 50 g fresh a stem (20 g dry at 60 % water,
# computed), 7.5 kg, which stays under the 8.76 kg that the NIOSH lifting equation allows for a lift from the ground.
STEMS_PER_BAG = 150
STEMS_MAX = 100_000_000


class SeedHeads(StrEnum):
    """What is seen on the stems that were cut."""

    NONE = "none"
    PRESENT = "present"
    UNKNOWN = "unknown"


class Way(StrEnum):
    """Where cut reed goes first."""

    PILE = "pile on dry ground"
    BAG = "bag and leave in the sun"


@dataclass(frozen=True, slots=True, kw_only=True)
class Disposal:
    """Where cut reed goes, until when its bags lie in the sun (None for a pile), and why."""

    way: Way
    sun_until: datetime.date | None
    reasons: tuple[Reason, ...]


def may_have_seed(day: datetime.date) -> bool:
    """Whether heads may carry seed on a day, when nobody has looked (convention: 15 August to 30 April)."""
    return contains(SEED_FROM, SEED_UNTIL, day)


def bag_sun_end(bagged_on: datetime.date, policy: Policy) -> datetime.date:
    """The day from which a bag has lain its ``policy.sun_days`` full days in direct sun."""
    return bagged_on + datetime.timedelta(days=policy.sun_days)


def disposal(cut_on: datetime.date, heads: SeedHeads, policy: Policy) -> Disposal:
    """Pile or bags for what was cut on a day (rule 6, common practice), with the cautions that go with it.

    Heads present: bags. Heads looked for and absent: a pile on dry ground, well above the water line, where stems did
    not regrow in a small trial. Nobody looked: bags while seed may be there by date, else a pile after looking. The
    days in sun have no source that is about reed; bags of other plants were seen to need 1 to 2 months.
    """
    if heads is SeedHeads.PRESENT:
        because = reason("disposal.heads_present")
    elif heads is SeedHeads.UNKNOWN and may_have_seed(cut_on):
        because = reason("disposal.heads_possible", since=SEED_FROM)
    else:
        code = "disposal.no_heads" if heads is SeedHeads.NONE else "disposal.look_for_heads"
        return Disposal(way=Way.PILE, sun_until=None, reasons=(reason(code), reason("disposal.pieces_root")))
    return Disposal(
        way=Way.BAG,
        sun_until=bag_sun_end(cut_on, policy),
        reasons=(
            because,
            reason("disposal.pieces_root"),
            reason("disposal.sun_days", days=policy.sun_days),
            reason("disposal.burning"),
            reason("disposal.compost"),
        ),
    )


def bags_for(stems: int) -> int:
    """Thick bags for fresh stems: one for each started 150 (convention; a group's own weighed bags replace it).

    Raises UnusableInput for fewer than 0 or more than 100 million stems.
    """
    faults = Faults()
    faults.range("stems", stems, 0, STEMS_MAX)
    faults.raise_any()
    return math.ceil(stems / STEMS_PER_BAG)
