"""What a site's page shows."""

import datetime
from dataclasses import dataclass

from reedcrew.stands.models import Gauge, Site, WaterLevel
from reedcrew.stands.queries.lists import StandRow, stand_rows
from reedcrew.stands.queries.notices import NoticeLists, notices_at
from reedcrew.stands.queries.seasons import Season, season_at
from reedcrew.trade.policy import Policy

LEVELS_SHOWN = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class SitePage:
    """Everything that a site's page shows."""

    site: Site
    stands: tuple[StandRow, ...]
    gauge: Gauge | None
    levels: tuple[WaterLevel, ...]
    notices: NoticeLists
    season: Season


def site_page(site: Site, policy: Policy, at: datetime.datetime) -> SitePage:
    """The page of one site at a moment. The site comes with its group."""

    return SitePage(
        site=site,
        stands=stand_rows(site.stands.for_list(), policy, at),
        gauge=site.gauges.in_use().first(),
        levels=tuple(WaterLevel.objects.filter(gauge__site=site).select_related("gauge")[:LEVELS_SHOWN]),
        notices=notices_at(site, at.astimezone(site.zone_info).date()),
        season=season_at(site, policy, at),
    )
