"""The water of the demo's shore: gauges with their zero, a season of readings by rows, a storm, and two notices."""

import datetime
from collections.abc import Mapping
from random import Random
from typing import Any

from reedcrew.demo.dates import DAY, Season, at_site
from reedcrew.demo.places import SITES, SiteFacts
from reedcrew.people.models import Account
from reedcrew.stands import services
from reedcrew.stands.forms.level_rows import LevelUnit, read_level_rows
from reedcrew.stands.models import Gauge, Site, SiteNotice
from reedcrew.trade.season import Effect, MonthDay

LEVEL_SWING_CM = 5  # so far the gauge wanders from its usual level
LEVEL_NOW_CM = 3  # the latest reading stands so far above the level of the surveys
STORM_CM = 8  # so far a storm a week ago lifted it: the shallows of 24 cm then stood deeper than 30 cm
STORM_DAYS_AGO = 8
DAYS_READ = 120  # so many mornings up to the day before yesterday are in the rows

NESTING: dict[str, Any] = {
    "kind": SiteNotice.Kind.NESTING,
    "effect": Effect.FORBIDS.value,
    "scope": SiteNotice.Scope.WHOLE_SITE,
    "force": SiteNotice.Force.ADVICE,
    "opens": MonthDay(3, 15),
    "closes": MonthDay(8, 31),
    "issuer": "Quillet Marsh Bird Wardens",
    "reference": "Letter 14",
    "note": "Look for active nests before each day. Keep 30 m from any that is found, and tell the wardens.",
}
SPAWNING: dict[str, Any] = {
    "kind": SiteNotice.Kind.SPAWNING,
    "effect": Effect.FORBIDS.value,
    "scope": SiteNotice.Scope.IN_WATER,
    "force": SiteNotice.Force.STOP,
    "opens": MonthDay(3, 15),
    "closes": MonthDay(6, 30),
    "issuer": "Quillet Bay Fish Office",
    "reference": "Notice 3",
    "note": "No work in water while fish spawn in the shallows.",
}


def enter_gauges(sites: Mapping[str, Site], actor: Account, now: datetime.datetime) -> dict[str, Gauge]:
    """Enter the gauge of each site that has one; returns them by the site's name."""
    return {
        facts.name: services.record_gauge(
            site=sites[facts.name],
            name=facts.gauge_name,
            datum=facts.gauge_datum,
            since=at_site(now.date(), 0).date(),
            actor=actor,
            now=now,
        )
        for facts in SITES
        if facts.gauge_cm is not None
    }


def enter_notices(sites: Mapping[str, Site], actor: Account, now: datetime.datetime) -> None:
    """Enter a nesting notice that asks for care, and a spawning notice that closes the water until the end of June."""
    site = sites[SITES[0].name]
    for facts in (NESTING, SPAWNING):
        services.record_notice(site=site, issued_on=now.date(), actor=actor, now=now, **facts)


def read_gauges(
    gauges: Mapping[str, Gauge], season: Season, actor: Account, now: datetime.datetime, rng: Random
) -> None:
    """Enter the levels of each gauge as rows: the mornings of closed days, and of the last months."""
    mornings = {day.date for day in season.closed} | {(now - days * DAY).date() for days in range(2, DAYS_READ)}
    for facts, gauge in _read(gauges):
        first = gauge.since
        text = "\n".join(
            f"{date.isoformat()} 08:00;{facts.usual_cm + rng.randint(-LEVEL_SWING_CM, LEVEL_SWING_CM)}"
            for date in sorted(mornings)
            if first <= date and at_site(date, 8) < now
        )
        read = read_level_rows(f"read_at;level_cm\n{text}", unit=LevelUnit.CM, zone_info=gauge.site.zone_info)
        services.record_levels(gauge=gauge, rows=read.rows, actor=actor, now=now)


def read_after_storm(gauges: Mapping[str, Gauge], actor: Account, now: datetime.datetime) -> None:
    """Enter, after the next day was posted, a storm a week ago and the calm of yesterday: the day is marked."""
    for facts, gauge in _read(gauges):
        for ago, above_cm in ((STORM_DAYS_AGO * DAY, STORM_CM), (DAY, LEVEL_NOW_CM)):
            services.record_water_level(
                site=gauge.site, level_cm=facts.usual_cm + above_cm, read_at=now - ago, actor=actor, now=now - ago
            )


def _read(gauges: Mapping[str, Gauge]) -> list[tuple[SiteFacts, Gauge]]:
    return [(facts, gauges[facts.name]) for facts in SITES if facts.name in gauges]
