"""First-aid kits and first-aiders by head count. Not legal advice: local rules decide, and pages say so."""

import math
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.words import gettext_noop as _

PEOPLE_MAX = 100_000


class KitSize(StrEnum):
    """Sizes of a CSA Z1220 kit. A personal kit is type 1; for cutting work the others are type 3, higher risk."""

    PERSONAL = _("personal")
    SMALL = _("small")
    MEDIUM = _("medium")
    LARGE = _("large")


class Hazard(StrEnum):
    """How dangerous the work is, in the words of HSE L74. Work with cutting tools is a higher hazard."""

    LOW = "low"
    HIGHER = "higher"


# CSA Z1220-17, clause 6: most people a shift for one kit of each size. Above the last, kits are spread in proportion.
KITS_BY_PEOPLE: tuple[tuple[int, KitSize], ...] = (
    (1, KitSize.PERSONAL),
    (25, KitSize.SMALL),
    (50, KitSize.MEDIUM),
    (100, KitSize.LARGE),
)
# The same clause: 2 small for a medium, 4 small for a large.
SMALL_KITS_IN: dict[KitSize, int] = {
    KitSize.PERSONAL: 1,
    KitSize.SMALL: 1,
    KitSize.MEDIUM: 2,
    KitSize.LARGE: 4,
}
# 29 CFR 1910.266 App. A: its kit suits about 2 to 3 people; ceil(n / 3) is a convention on it.
CUTTING_CREW_PER_KIT = 3

# HSE L74, suggested numbers: people from which one first-aider is needed, and people per first-aider above 50.
FIRST_AIDER_FROM: dict[Hazard, int] = {Hazard.LOW: 25, Hazard.HIGHER: 5}
FIRST_AIDER_ONE_UP_TO = 50
PEOPLE_PER_FIRST_AIDER: dict[Hazard, int] = {Hazard.LOW: 100, Hazard.HIGHER: 50}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kits:
    """Kits of one size."""

    size: KitSize
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KitNeed:
    """Small kits of the higher-risk type that a crew takes along, and the rules behind the number."""

    count: int
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAiders:
    """First-aiders to have on site, and why. 0 still asks for a person appointed to take charge."""

    count: int
    reason: Reason


def _check(people: int) -> None:
    faults = Faults()
    faults.range("people", people, 0, PEOPLE_MAX)
    faults.raise_any()


def kits_by_head_count(people: int) -> Kits:
    """Kits for a shift by CSA Z1220-17, clause 6: one of the fitting size; over 100 people, large kits in proportion.

    Raises UnusableInput for fewer than 0 people.
    """
    _check(people)
    if people == 0:
        return Kits(size=KitSize.PERSONAL, count=0)
    for up_to, size in KITS_BY_PEOPLE:
        if people <= up_to:
            return Kits(size=size, count=1)
    largest, size = KITS_BY_PEOPLE[-1]
    return Kits(size=size, count=math.ceil(people / largest))


def kits_for_cutting_crew(people: int) -> int:
    """Kits for a crew with cutting tools: one for each started 3 people (convention on 29 CFR 1910.266 App. A)."""
    _check(people)
    return math.ceil(people / CUTTING_CREW_PER_KIT)


def kits_needed(people: int) -> KitNeed:
    """The larger of both rules, in small kits, so that they can be spread over the zones; the reasons name both.

    Raises UnusableInput for fewer than 0 people.
    """
    by_heads = kits_by_head_count(people)
    small = by_heads.count * SMALL_KITS_IN[by_heads.size]
    cutting = kits_for_cutting_crew(people)
    return KitNeed(
        count=max(small, cutting),
        reasons=(
            reason("first_aid.by_heads", people=people, kits=by_heads.count, size=by_heads.size.value, small=small),
            reason("first_aid.cutting_crew", kits=cutting, per_kit=CUTTING_CREW_PER_KIT),
            reason("first_aid.larger", count=max(small, cutting)),
        ),
    )


def first_aiders_needed(people: int, hazard: Hazard = Hazard.HIGHER) -> FirstAiders:
    """First-aiders on site by the numbers that HSE L74 suggests; reed cutting is of the higher hazard.

    Higher hazard: none but an appointed person under 5, one from 5 to 50, above that one for each started 50. Low:
    25, 50 and each started 100. The design's H10 asks for one as soon as anyone is in water, whatever the number
    here.

    Raises UnusableInput for fewer than 0 people.
    """
    _check(people)
    if people < FIRST_AIDER_FROM[hazard]:
        return FirstAiders(count=0, reason=reason("first_aid.appointed_person", people=people))
    count = 1 if people <= FIRST_AIDER_ONE_UP_TO else math.ceil(people / PEOPLE_PER_FIRST_AIDER[hazard])
    return FirstAiders(count=count, reason=reason("first_aid.first_aiders", people=people, count=count))
