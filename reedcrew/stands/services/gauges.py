"""Gauges: a site has one that is read, and keeps those that were read before."""

import datetime

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import GaugeBeginsInFuture, GaugeBeginsTooEarly, GaugeBeginsTooLate, LevelImplausible
from reedcrew.stands.models import Gauge, Site, Stand, Survey, Zone
from reedcrew.stands.queries import highest_level, too_deep, zones_of_gauge
from reedcrew.stands.services.moves import zones_told
from reedcrew.stands.services.rows import locked, set_values

DAY = datetime.timedelta(days=1)


@transaction.atomic
def record_gauge(
    *,
    site: Site,
    name: str,
    datum: str,
    since: datetime.date,
    note: str = "",
    actor: Account,
    now: datetime.datetime,
) -> Gauge:
    """Begin a gauge at a site, read from the day ``since`` on; the one that was read so far ends the day before.

    ``datum`` says what its zero is. The same gauge again returns the first record. Raises GaugeBeginsInFuture;
    GaugeBeginsTooEarly where the former gauge has a reading or a survey on or after ``since``, because nobody could
    tell which of the two it belongs to; RemovedMeanwhile; ValidationError for a value that the model refuses.
    """
    row = locked(site)
    earlier = row.gauges.in_use().first()
    if earlier is not None and (earlier.name, earlier.datum, earlier.since) == (name, datum, since):
        return earlier
    _ask_begun(site, since, now)
    gauge = Gauge(site=row, name=name, datum=datum, note=note, since=since)
    with zones_told(_stands(site), now):
        if earlier is not None:
            first = max(_last_use(site, earlier), earlier.since) + DAY
            if since < first:
                raise GaugeBeginsTooEarly(name=earlier.name, first=first)
            earlier.until = since - DAY
            earlier.save(update_fields=["until"])
        elif (latest := row.gauges.first()) is not None and latest.until is not None and since <= latest.until:
            raise GaugeBeginsTooEarly(name=latest.name, first=latest.until + DAY)
        gauge.full_clean()
        gauge.save()
        _refuse_implausible(gauge)
    record(group=site.group, actor=actor, at=now, deed="gauge recorded", subject=row, name=name, datum=datum)
    return gauge


@transaction.atomic
def change_gauge(
    *,
    gauge: Gauge,
    version: int,
    name: str,
    datum: str,
    since: datetime.date,
    note: str,
    actor: Account,
    now: datetime.datetime,
) -> Gauge:
    """Mend what was written of a gauge. Where its zero itself was set anew, record another gauge instead.

    Raises ChangedMeanwhile, RemovedMeanwhile, GaugeBeginsInFuture; GaugeBeginsTooEarly for a day on which a former
    gauge was read; GaugeBeginsTooLate for one after its own first reading or survey; LevelImplausible; and
    ValidationError for a value that the model refuses.
    """
    site = gauge.site
    locked(site)
    row = locked(gauge)
    values = {"name": name, "datum": datum, "since": since, "note": note}
    if changes := set_values(row, version, values):
        _ask_begun(site, since, now)
        former = site.gauges.filter(until__isnull=False).exclude(pk=row.pk).filter(since__lt=gauge.since).first()
        if former is not None and former.until is not None and since <= former.until:
            raise GaugeBeginsTooEarly(name=former.name, first=former.until + DAY)
        first = _first_use(site, gauge)
        if first is not None and first < since:
            raise GaugeBeginsTooLate(read_on=first)
        with zones_told(_stands(site), now):
            row.full_clean()
            row.save()
            _refuse_implausible(row)
        record(group=site.group, actor=actor, at=now, deed="gauge changed", subject=row, changes=changes)
    return row


# --- Private ---------------------------------------------------------------------------------------------------------


def _stands(site: Site) -> list[Stand]:
    gauged = Stand.objects.filter(site=site, zones__gauge_cm__isnull=False).distinct()
    return list(gauged.select_related("site__group").order_by("pk"))


def _ask_begun(site: Site, since: datetime.date, now: datetime.datetime) -> None:
    today = now.astimezone(site.zone_info).date()
    if since > today:
        raise GaugeBeginsInFuture(today=today)


def _last_use(site: Site, gauge: Gauge) -> datetime.date:
    """The last day on which a gauge was read, for a level or for a survey of a zone."""
    days = [gauge.since - DAY]
    last = gauge.levels.first()
    if last is not None:
        days.append(last.read_at.astimezone(site.zone_info).date())
    for surveyed in (Zone.objects.all(), Survey.objects.standing()):
        gauged = surveyed.filter(stand__site=site, gauge_cm__isnull=False)
        days.extend(gauged.order_by("-surveyed_on").values_list("surveyed_on", flat=True)[:1])
    return max(days)


def _first_use(site: Site, gauge: Gauge) -> datetime.date | None:
    """The first day on which a gauge was read, for a level or for a survey of a zone; None where it never was.

    A survey left without its gauge would take the zone's depth back to that of the survey, however high the water is.
    """
    days = []
    first = gauge.levels.order_by("read_at").first()
    if first is not None:
        days.append(first.read_at.astimezone(site.zone_info).date())
    for surveyed in (Zone.objects.all(), Survey.objects.standing()):
        gauged = surveyed.filter(stand__site=site, gauge_cm__isnull=False, surveyed_on__gte=gauge.since)
        if gauge.until is not None:
            gauged = gauged.filter(surveyed_on__lte=gauge.until)
        days.extend(gauged.order_by("surveyed_on").values_list("surveyed_on", flat=True)[:1])
    return min(days, default=None)


def _refuse_implausible(gauge: Gauge) -> None:
    highest = highest_level(gauge)
    if highest is not None and (case := too_deep(zones_of_gauge(gauge), highest)):
        raise LevelImplausible(field="since", level_cm=highest, name=case[0].name, depth_cm=case[1])
