"""What the demo group's people saw of its stands, and what the organizer decided from it."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from reedcrew.demo.crowd import mail_of
from reedcrew.demo.dates import Season, at_site
from reedcrew.demo.people import LEADS, ORGANIZER
from reedcrew.demo.places import BOATHOUSE, LANDING, MILL_DITCH, QUARRY, SEDGE_CORNER
from reedcrew.people.models import Account
from reedcrew.people.services import account_for
from reedcrew.stands import services
from reedcrew.stands.models import Stand
from reedcrew.trade.identification import (
    Authority,
    Flowering,
    Identification,
    Internodes,
    Leaves,
    LiguleMeasured,
    Observation,
    SeedHead,
    Sheaths,
    Spots,
    StandForm,
    Surface,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Who saw what: years before the demo's season, month and day."""

    who: str
    on: tuple[int, int, int]
    seen: Observation
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What the organizer decided, on the evening of that day."""

    on: tuple[int, int, int]
    result: Identification
    reason: str
    authority: Authority = Authority.FINDINGS
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The checks of a stand in the order of their days, and the decision after them."""

    checks: tuple[Check, ...]
    decision: Decision


ROSALBA, TORVALD = LEADS
TWO_SIGNS = Observation(sheaths=Sheaths.RETAINED, internodes=Internodes.TAN, spots=Spots.NONE, surface=Surface.ROUGH)

STORIES: Mapping[str, Story] = MappingProxyType(
    {
        LANDING: Story(
            checks=(
                Check(
                    who=ORGANIZER,
                    on=(2, 4, 20),
                    seen=Observation(
                        sheaths=Sheaths.RETAINED,
                        internodes=Internodes.DEAD_ONLY,
                        spots=Spots.NONE,
                        stand_form=StandForm.DENSE,
                    ),
                    note="Only last year's stems stand yet. To be seen again when it is green.",
                ),
                Check(
                    who=ROSALBA,
                    on=(2, 7, 4),
                    seen=Observation(
                        sheaths=Sheaths.RETAINED,
                        internodes=Internodes.TAN,
                        spots=Spots.NONE,
                        ligule_mm=Decimal("0.6"),
                        ligule_measured=LiguleMeasured.AS_IN_FLORAS,
                        leaves=Leaves.BLUE_GREEN,
                    ),
                    note="Ten stems along the landing, on the sunny side.",
                ),
                Check(who=TORVALD, on=(2, 7, 5), seen=TWO_SIGNS, note="Five stems at the outer edge."),
            ),
            decision=Decision(
                on=(2, 7, 6),
                result=Identification.INTRODUCED,
                reason="Two people found the same on fifteen stems, and nothing speaks for the native reed.",
            ),
        ),
        SEDGE_CORNER: Story(
            checks=(
                Check(
                    who=TORVALD,
                    on=(1, 6, 14),
                    seen=Observation(sheaths=Sheaths.RETAINED, internodes=Internodes.RED, spots=Spots.NONE),
                    note="Reddish at the base, but the sheaths hold.",
                ),
                Check(
                    who=ROSALBA,
                    on=(1, 8, 20),
                    seen=Observation(
                        sheaths=Sheaths.RETAINED,
                        ligule_mm=Decimal("0.9"),
                        leaves=Leaves.BETWEEN,
                        seed_head=SeedHead.SPARSE,
                    ),
                    note="Measured without knowing whether the hairs count.",
                ),
            ),
            decision=Decision(
                on=(1, 8, 21),
                result=Identification.NOT_SURE,
                reason="The characters contradict each other. A leaf goes to a laboratory next summer.",
            ),
        ),
        QUARRY: Story(
            checks=(
                Check(
                    who=ROSALBA,
                    on=(2, 9, 12),
                    seen=Observation(
                        sheaths=Sheaths.RETAINED,
                        internodes=Internodes.TAN,
                        spots=Spots.NONE,
                        lower_glume_mm=Decimal("2.7"),
                        upper_glume_mm=Decimal("5.0"),
                        seed_head=SeedHead.BUSHY,
                        flowering=Flowering.SEPTEMBER,
                    ),
                    note="Glumes of one head under the loupe.",
                ),
            ),
            decision=Decision(
                on=(2, 11, 3),
                result=Identification.INTRODUCED,
                authority=Authority.GENETIC_TEST,
                name="leaf sample Q-1, Marrow Lake laboratory (invented)",
                reason="The wardens asked for a test before anybody cuts in the quarry.",
            ),
        ),
        MILL_DITCH: Story(
            checks=(
                Check(
                    who=ORGANIZER,
                    on=(2, 4, 27),
                    seen=Observation(sheaths=Sheaths.NO_DEAD_STEMS, stand_form=StandForm.MIXED),
                    note="Sparse stems between sedges. To be seen again in summer.",
                ),
                Check(
                    who=ROSALBA,
                    on=(2, 8, 9),
                    seen=Observation(
                        sheaths=Sheaths.FALL_OFF,
                        internodes=Internodes.RED,
                        spots=Spots.SEEN,
                        surface=Surface.SMOOTH,
                        ligule_mm=Decimal("1.2"),
                        ligule_measured=LiguleMeasured.AS_IN_FLORAS,
                        stand_form=StandForm.MIXED,
                    ),
                ),
                Check(
                    who=TORVALD,
                    on=(2, 8, 16),
                    seen=Observation(internodes=Internodes.RED, spots=Spots.SEEN, leaves=Leaves.YELLOW_GREEN),
                ),
            ),
            decision=Decision(
                on=(2, 8, 17),
                result=Identification.NATIVE,
                reason="Two people saw the spots and the chestnut stems. It stays, with ribbons around it.",
            ),
        ),
        BOATHOUSE: Story(
            checks=(
                Check(who=ORGANIZER, on=(2, 8, 8), seen=TWO_SIGNS),
                Check(
                    who=TORVALD,
                    on=(2, 8, 8),
                    seen=Observation(
                        internodes=Internodes.TAN,
                        ligule_mm=Decimal("0.3"),
                        ligule_measured=LiguleMeasured.BASE_ONLY,
                        spots=Spots.NONE,
                    ),
                    note="The ligule's base under the loupe, on three stems.",
                ),
            ),
            decision=Decision(
                on=(2, 8, 9),
                result=Identification.INTRODUCED,
                reason="Both checks agree, by different characters.",
            ),
        ),
    }
)


def enter_checks(stand: Stand, season: Season, organizer: Account) -> None:
    """Enter the checks of a stand, each on its own evening, and the decision; nothing where nobody looked."""
    story = STORIES.get(stand.name)
    if story is None:
        return
    made = []
    for check in story.checks:
        day = _day(season, check.on)
        evening = at_site(day, 20)
        made.append(
            services.record_check(
                stand=stand,
                observation=check.seen,
                checked_on=day,
                note=check.note,
                actor=account_for(email=mail_of(check.who), now=evening),
                now=evening,
            )
        )
    services.decide_identification(
        stand=stand,
        result=story.decision.result,
        authority=story.decision.authority,
        authority_name=story.decision.name,
        checks=made,
        reason=story.decision.reason,
        known=max(check.pk for check in made),
        actor=organizer,
        now=at_site(_day(season, story.decision.on), 21),
    )


# --- Private ---------------------------------------------------------------------------------------------------------


def _day(season: Season, on: tuple[int, int, int]) -> datetime.date:
    years_ago, month, day = on
    return datetime.date(season.year - years_ago, month, day)
