"""Stems cut, how fast, and how much work is left."""

from reedcrew.trade.effort.counting import (
    BUNDLES_MAX,
    CONFIDENCE,
    Counted,
    StemTally,
    counted,
    from_bundles,
    together,
)
from reedcrew.trade.effort.left import (
    Crew,
    CrewDay,
    SideLeft,
    Standing,
    WorkLeft,
    expected_stems,
    usual_crew,
    work_left,
)
from reedcrew.trade.effort.rates import (
    PERSON_HOURS_MAX,
    DayRecord,
    Rates,
    WorkRate,
    learned_rate,
    prior_rate,
    starting_rates,
    work_rate,
)
from reedcrew.trade.effort.spans import Span

__all__ = [
    "BUNDLES_MAX",
    "CONFIDENCE",
    "PERSON_HOURS_MAX",
    "Counted",
    "Crew",
    "CrewDay",
    "DayRecord",
    "Rates",
    "SideLeft",
    "Span",
    "Standing",
    "StemTally",
    "WorkLeft",
    "WorkRate",
    "counted",
    "expected_stems",
    "from_bundles",
    "learned_rate",
    "prior_rate",
    "starting_rates",
    "together",
    "usual_crew",
    "work_left",
    "work_rate",
]
