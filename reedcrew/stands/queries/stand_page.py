"""What a stand's page shows."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from reedcrew.stands.models import Site, Stand, WaterLevel, Zone
from reedcrew.stands.queries.depths import ZoneDepth, depths_today
from reedcrew.stands.queries.identification import IdentificationPanel, identification_panel
from reedcrew.stands.queries.outlook import Outlook, outlook
from reedcrew.stands.queries.seasons import NextSaturday, Season, next_saturday, season_at
from reedcrew.stands.queries.stems import Standing, StandStems, stand_stems
from reedcrew.trade.method import MethodChoice, Wear, is_water_work, method_for, protective_wear
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason
from reedcrew.trade.season import SeasonState
from reedcrew.trade.treatment import expected_next
from reedcrew.trade.water import DepthToday, WadingVerdict, wading_verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneToday:
    """A zone as the crew finds it today: depth, how to cut, what to wear, and whether the current leaves it open."""

    zone: Zone
    standing: Standing
    depth: DepthToday
    level: WaterLevel | None
    level_age_days: int | None
    water_work: bool
    too_deep: bool
    method: MethodChoice
    wear: Wear
    wading: WadingVerdict

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Why the depth, the cut, the wear and, in water, the current are as they are."""
        current = self.wading.reasons if self.depth.depth_cm else ()
        return self.depth.reason, self.method.reason, *self.wear.reasons, *current


@dataclass(frozen=True, slots=True, kw_only=True)
class StandPage:
    """Everything that a stand's page shows. ``may_work``: identification and calendar both say yes today."""

    stand: Stand
    site: Site
    identification: IdentificationPanel
    zones: tuple[ZoneToday, ...]
    season: Season
    saturday: NextSaturday
    year_of_treatment: int | None
    expected: tuple[Reason, ...]
    stems: StandStems
    outlook: Outlook
    area_m2: Decimal | None

    @property
    def may_work(self) -> bool:
        return self.stand.may_be_cut and self.season.today.state is not SeasonState.CLOSED

    @property
    def has_water(self) -> bool:
        return any(today.depth.depth_cm > 0 for today in self.zones)


def stand_page(stand: Stand, policy: Policy, at: datetime.datetime) -> StandPage:
    """The page of one stand at a moment. The stand comes with its site and group."""
    site = stand.site
    today = at.astimezone(site.zone_info).date()
    depths = depths_today(stand, at)
    stems = stand_stems([known.zone for known in depths])
    standing = {each.zone.pk: each for each in stems.zones}
    zones = tuple(_today(known, standing[known.zone.pk], policy, site, today) for known in depths)
    areas = [known.zone.area_m2 for known in zones if known.zone.area_m2 is not None]
    year = stand.year_of_treatment(today.year)
    return StandPage(
        stand=stand,
        site=site,
        identification=identification_panel(stand),
        zones=zones,
        season=season_at(site, policy, at),
        saturday=next_saturday(stand, policy, at),
        year_of_treatment=year,
        expected=(expected_next(year),),
        stems=stems,
        outlook=outlook(stand, policy, at, depths=depths, stems=stems),
        area_m2=sum(areas, Decimal(0)) if areas else None,
    )


def _today(known: ZoneDepth, standing: Standing, policy: Policy, site: Site, today: datetime.date) -> ZoneToday:
    depth_cm = known.depth.depth_cm
    read_on = known.level.read_at.astimezone(site.zone_info).date() if known.level else None
    return ZoneToday(
        zone=known.zone,
        standing=standing,
        depth=known.depth,
        level=known.level,
        level_age_days=(today - read_on).days if read_on else None,
        water_work=is_water_work(depth_cm),
        too_deep=depth_cm > policy.wading_depth_cm_max,
        method=method_for(depth_cm),
        wear=protective_wear(depth_cm),
        wading=wading_verdict(depth_cm, float(known.zone.current_m_s), policy),
    )
