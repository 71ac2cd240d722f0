"""What the pages of sites and stands, and the apps that plan on them, read."""

import datetime
import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from reedcrew.people.queries import member_name
from reedcrew.stands.models import IdentificationCheck, Site, Stand, WaterLevel, Zone
from reedcrew.trade.method import MethodChoice, Wear, is_water_work, method_for, protective_wear
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason
from reedcrew.trade.season import SeasonState, SeasonVerdict, Window, default_window, is_permitted, verdict
from reedcrew.trade.treatment import expected_next
from reedcrew.trade.water import DepthToday, WadingVerdict, depth_today, wading_verdict

DAYS_AHEAD = 14  # how far a page looks for days of work
DAYS_OF_A_YEAR = 366
LEVELS_SHOWN = 10


def window_of(site: Site, policy: Policy) -> Window:
    """The site's own permitted weeks with the authority that set them, or else the group's (design, rule 1)."""
    if site.window_opens is None or site.window_closes is None:
        return default_window(policy)
    return Window(opens=site.window_opens, closes=site.window_closes, authority=site.window_authority)


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneDepth:
    """A zone with its depth at a moment. ``level`` is the reading that decided it, None where none did."""

    zone: Zone
    depth: DepthToday
    level: WaterLevel | None

    @property
    def depth_cm(self) -> int:
        return self.depth.depth_cm

    @property
    def reason(self) -> Reason:
        return self.depth.reason


def latest_level(site_id: int, at: datetime.datetime) -> WaterLevel | None:
    """The latest reading of a site's gauge at or before a moment."""
    return WaterLevel.objects.filter(site=site_id, read_at__lte=at).order_by("-read_at", "-pk").first()


def depths_today(stand: Stand, at: datetime.datetime) -> tuple[ZoneDepth, ...]:
    """Depth of every zone of a stand at a moment, from the latest gauge level at or before it (design, rule 3).

    Zones in the order of their names; two queries, however many zones. ``level.read_at`` says how old the level is.
    """
    level = latest_level(stand.site_id, at)
    return tuple(_depth(zone, level) for zone in stand.zones.all())


def _depth(zone: Zone, level: WaterLevel | None) -> ZoneDepth:
    depth = depth_today(zone.depth_cm, zone.gauge_cm, level.level_cm if level else None)
    return ZoneDepth(zone=zone, depth=depth, level=level if zone.gauge_cm is not None else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSpan:
    """Days in a row to which the calendar says the same."""

    first: datetime.date
    last: datetime.date
    verdict: SeasonVerdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """What the calendar says to work at a site from today on. ``next_open`` is the first permitted day from today."""

    window: Window
    today: SeasonVerdict
    spans: tuple[SeasonSpan, ...]
    next_open: datetime.date | None


def season_at(site: Site, policy: Policy, at: datetime.datetime) -> Season:
    """The next two weeks at a site, by the clocks of the site."""
    window = window_of(site, policy)
    today = at.astimezone(site.zone_info).date()
    days = [today + datetime.timedelta(days=step) for step in range(DAYS_OF_A_YEAR)]
    verdicts = [(day, verdict(window, day)) for day in days[:DAYS_AHEAD]]
    spans = []
    for said, run in itertools.groupby(verdicts, key=lambda pair: pair[1]):
        run_days = [day for day, _ in run]
        spans.append(SeasonSpan(first=run_days[0], last=run_days[-1], verdict=said))
    return Season(
        window=window,
        today=verdicts[0][1],
        spans=tuple(spans),
        next_open=next((day for day in days if is_permitted(window, day)), None),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneToday:
    """A zone as the crew finds it today: depth, how to cut, what to wear, and whether the current leaves it open."""

    zone: Zone
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
    checks: tuple[IdentificationCheck, ...]
    zones: tuple[ZoneToday, ...]
    season: Season
    year_of_treatment: int | None
    expected: tuple[Reason, ...]
    stems: int
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
    zones = tuple(_today(known, policy, site, today) for known in depths_today(stand, at))
    areas = [known.zone.area_m2 for known in zones if known.zone.area_m2 is not None]
    year = stand.year_of_treatment(today.year)
    return StandPage(
        stand=stand,
        site=site,
        checks=tuple(stand.checks.annotate(recorded_by=member_name(group="stand__site__group", account="decided_by"))),
        zones=zones,
        season=season_at(site, policy, at),
        year_of_treatment=year,
        expected=(expected_next(year),),
        stems=sum(known.zone.stems for known in zones),
        area_m2=sum(areas, Decimal(0)) if areas else None,
    )


def _today(known: ZoneDepth, policy: Policy, site: Site, today: datetime.date) -> ZoneToday:
    depth_cm = known.depth.depth_cm
    read_on = known.level.read_at.astimezone(site.zone_info).date() if known.level else None
    return ZoneToday(
        zone=known.zone,
        depth=known.depth,
        level=known.level,
        level_age_days=(today - read_on).days if read_on else None,
        water_work=is_water_work(depth_cm),
        too_deep=depth_cm > policy.wading_depth_cm_max,
        method=method_for(depth_cm),
        wear=protective_wear(depth_cm),
        wading=wading_verdict(depth_cm, float(known.zone.current_m_s), policy),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StandRow:
    """A stand in a list: where it is, what it is, and what the calendar says today."""

    stand: Stand
    today: SeasonVerdict
    year_of_treatment: int | None


def stand_rows(stands: Iterable[Stand], policy: Policy, at: datetime.datetime) -> tuple[StandRow, ...]:
    """Rows of a list of stands, which come with their sites; no further query."""
    rows = []
    for stand in stands:
        day = at.astimezone(stand.site.zone_info).date()
        rows.append(
            StandRow(
                stand=stand,
                today=verdict(window_of(stand.site, policy), day),
                year_of_treatment=stand.year_of_treatment(day.year),
            )
        )
    return tuple(rows)


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
