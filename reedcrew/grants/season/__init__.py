"""The group's own view of its work: by week and by year, stand by stand, and what the next report still needs."""

from reedcrew.grants.season.due import Due, due_of
from reedcrew.grants.season.stands import CLOSING, Regrowth, SeasonStands, StandState, season_stands
from reedcrew.grants.season.sums import SeasonSums, Stretch, season_sums

__all__ = [
    "CLOSING",
    "Due",
    "Regrowth",
    "SeasonStands",
    "SeasonSums",
    "StandState",
    "Stretch",
    "due_of",
    "season_stands",
    "season_sums",
]
