"""What the pages of sites and stands, and the apps that plan on them, read."""

from reedcrew.stands.queries.depths import ZoneDepth, depths_today, latest_level
from reedcrew.stands.queries.lists import StandRow, stand_rows
from reedcrew.stands.queries.seasons import DAYS_AHEAD, DAYS_OF_A_YEAR, Season, SeasonSpan, season_at, window_of
from reedcrew.stands.queries.site_page import LEVELS_SHOWN, SitePage, site_page
from reedcrew.stands.queries.stand_page import StandPage, ZoneToday, stand_page

__all__ = [
    "DAYS_AHEAD",
    "DAYS_OF_A_YEAR",
    "LEVELS_SHOWN",
    "Season",
    "SeasonSpan",
    "SitePage",
    "StandPage",
    "StandRow",
    "ZoneDepth",
    "ZoneToday",
    "depths_today",
    "latest_level",
    "season_at",
    "site_page",
    "stand_page",
    "stand_rows",
    "window_of",
]
