"""What a site's page shows."""

import datetime
from dataclasses import dataclass

from reedcrew.stands.models import Site, WaterLevel
from reedcrew.stands.queries.lists import StandRow, stand_rows
from reedcrew.stands.queries.seasons import Season, season_at
from reedcrew.trade.policy import Policy

LEVELS_SHOWN = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class SitePage:
    """Everything that a site's page shows."""

    site: Site
    stands: tuple[StandRow, ...]
    levels: tuple[WaterLevel, ...]
    season: Season


def site_page(site: Site, policy: Policy, at: datetime.datetime) -> SitePage:
    """The page of one site at a moment. The site comes with its group."""

    return SitePage(
        site=site,
        stands=stand_rows(site.stands.for_list(), policy, at),
        levels=tuple(site.water_levels.all()[:LEVELS_SHOWN]),
        season=season_at(site, policy, at),
    )
