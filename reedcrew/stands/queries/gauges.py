"""Gauges of a site, and whether rows of readings can be kept."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Max
from django.utils.functional import Promise
from django.utils.translation import gettext as _

from reedcrew.stands.models import Gauge, Site, WaterLevel, Zone
from reedcrew.trade.water import DEPTH_CM_MAX, GAUGE_CM_MAX, depth_today
from reedcrew.web.times import day_text, moment_text


def gauge_on(site: Site, day: datetime.date) -> Gauge | None:
    """The gauge that was read at a site on a day of the site, or None. One query, or none where gauges are fetched."""
    return next((gauge for gauge in site.gauges.all() if gauge.serves(day)), None)


def zones_of_gauge(gauge: Gauge) -> list[Zone]:
    """The zones whose surveys were taken at this gauge: its levels decide their depth."""
    gauged = Zone.objects.filter(stand__site=gauge.site_id, gauge_cm__isnull=False, surveyed_on__gte=gauge.since)
    if gauge.until is not None:
        gauged = gauged.filter(surveyed_on__lte=gauge.until)
    return list(gauged.order_by("pk"))


def too_deep(zones: Iterable[Zone], level_cm: int) -> tuple[Zone, int] | None:
    """The first zone that a level puts deeper than any entry can mean, with its depth in cm."""
    for zone in zones:
        depth_cm = depth_today(zone.depth_cm, zone.gauge_cm, level_cm).depth_cm
        if depth_cm > DEPTH_CM_MAX:
            return zone, depth_cm
    return None


def highest_level(gauge: Gauge) -> int | None:
    """The highest level, in cm, that was ever read at a gauge."""
    found: int | None = gauge.levels.aggregate(highest=Max("level_cm"))["highest"]
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRow:
    """A reading as a row gives it: its number in what was sent, an aware moment, and a level in whole cm."""

    line: int
    read_at: datetime.datetime
    level_cm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RowProblem:
    """What is wrong in one row: its number in what was sent, the name of the column, and what would be right."""

    line: int
    column: str
    text: str | Promise

    def __str__(self) -> str:
        return _("Row %(line)d, %(column)s: %(text)s") % {
            "line": self.line,
            "column": self.column,
            "text": self.text,
        }


def level_problems(gauge: Gauge, rows: Sequence[LevelRow], now: datetime.datetime) -> list[RowProblem]:
    """Why rows of readings cannot be kept, in their order; empty when they can. Three queries at any number of rows.

    The same reading again is fine, within the rows and beside what is kept; another level at the same moment is not.
    """
    if not rows:
        return []
    zone_info = gauge.site.zone_info
    known = _known(gauge, rows)
    zones = zones_of_gauge(gauge)
    # A level that is too high for one zone is found once, not for each row: depth rises with the level.
    highest = max((row.level_cm for row in rows if row.level_cm <= GAUGE_CM_MAX), default=-GAUGE_CM_MAX)
    deep = too_deep(zones, highest)
    found = []
    seen: dict[datetime.datetime, LevelRow] = {}
    for row in rows:
        read_on = row.read_at.astimezone(zone_info).date()
        first = seen.setdefault(row.read_at, row)
        if not -GAUGE_CM_MAX <= row.level_cm <= GAUGE_CM_MAX:
            text = _("must be from −%(limit)d to %(limit)d cm, not %(level)d cm.")
            found.append(_problem(row, "level", text % {"limit": GAUGE_CM_MAX, "level": row.level_cm}))
        elif deep is not None and (case := too_deep(zones, row.level_cm)):
            text = _(
                "%(level)d cm would put the zone “%(zone)s” %(depth)d cm deep. Check this level and the zone's survey."
            )
            found.append(_problem(row, "level", text % {"level": row.level_cm, "zone": case[0].name, "depth": case[1]}))
        if row.read_at > now:
            found.append(_problem(row, "read_at", _("this time is still to come.")))
        elif not gauge.serves(read_on):
            text = _("%(gauge)s was not read on %(day)s: it is read %(span)s. Choose the gauge that was read then.")
            values = {"gauge": gauge.name, "day": day_text(read_on), "span": span_of(gauge)}
            found.append(_problem(row, "read_at", text % values))
        if first.level_cm != row.level_cm:
            text = _("row %(line)d gives %(level)d cm for the same time. Keep the one that is right.")
            found.append(_problem(row, "level", text % {"line": first.line, "level": first.level_cm}))
        elif known.get(row.read_at, row.level_cm) != row.level_cm:
            text = _("at %(moment)s the gauge stood at %(level)d cm, as recorded before. Keep the one that is right.")
            kept: dict[str, object] = {"moment": moment_text(row.read_at, zone_info), "level": known[row.read_at]}
            found.append(_problem(row, "level", text % kept))
    return found


def new_rows(gauge: Gauge, rows: Sequence[LevelRow]) -> list[LevelRow]:
    """The readings that are not kept yet, each moment once."""
    known = _known(gauge, rows)
    fresh = {row.read_at: row for row in reversed(rows) if row.read_at not in known}
    return sorted(fresh.values(), key=lambda row: row.line)


def span_of(gauge: Gauge) -> str:
    """From when to when a gauge is read, in words."""
    if gauge.until is None:
        return _("since %(since)s") % {"since": day_text(gauge.since)}
    return _("from %(since)s to %(until)s") % {"since": day_text(gauge.since), "until": day_text(gauge.until)}


def _known(gauge: Gauge, rows: Sequence[LevelRow]) -> dict[datetime.datetime, int]:
    if not rows:
        return {}
    span = min(row.read_at for row in rows), max(row.read_at for row in rows)
    found = WaterLevel.objects.filter(gauge=gauge, read_at__range=span).values_list("read_at", "level_cm")
    return dict(found.iterator())


def _problem(row: LevelRow, column: str, text: str) -> RowProblem:
    return RowProblem(line=row.line, column=column, text=text)
