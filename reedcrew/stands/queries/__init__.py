"""What the pages of sites and stands, and the apps that plan on them, read."""

from reedcrew.stands.queries.depths import ZoneDepth, depths_today, latest_level
from reedcrew.stands.queries.lists import StandRow, stand_rows
from reedcrew.stands.queries.seasons import DAYS_AHEAD, DAYS_OF_A_YEAR, Season, SeasonSpan, season_at, window_of
from reedcrew.stands.queries.site_page import LEVELS_SHOWN, SitePage, site_page
from reedcrew.stands.queries.stand_page import StandPage, ZoneToday, stand_page
from reedcrew.stands.queries.stems import (
    Standing,
    StandStems,
    StemsHow,
    SurveyTotal,
    ZoneCounts,
    stand_stems,
    standing_stems,
    stems_together,
    survey_total,
    survey_totals,
)

__all__ = [
    "DAYS_AHEAD",
    "DAYS_OF_A_YEAR",
    "LEVELS_SHOWN",
    "Season",
    "SeasonSpan",
    "SitePage",
    "StandPage",
    "StandRow",
    "StandStems",
    "Standing",
    "StemsHow",
    "SurveyTotal",
    "ZoneCounts",
    "ZoneDepth",
    "ZoneToday",
    "depths_today",
    "latest_level",
    "season_at",
    "site_page",
    "stand_page",
    "stand_rows",
    "stand_stems",
    "standing_stems",
    "stems_together",
    "survey_total",
    "survey_totals",
    "window_of",
]
