"""Work days with their places and numbers of people; never who they are."""

import datetime
from collections.abc import Sequence
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db.models import Count, Max, Q, QuerySet, Sum

from reedcrew.api.records.changes import Moments, changed_keys, last_deeds, latest
from reedcrew.fieldbook.models import Tally
from reedcrew.people.models import Group
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Site
from reedcrew.stands.queries import rules_of
from reedcrew.trade.policy import Policy
from reedcrew.workdays.models import SignUp, WorkDay

Record = dict[str, Any]


def changed_since(group: Group, since: datetime.datetime) -> list[int]:
    """Keys of the days that changed since then: they, their sites, who signed up, what was tallied. Five queries."""
    days = list(WorkDay.objects.of_group(group).select_related("stand").only("pk", "posted_at", "stand__site"))
    return changed_keys(_moments(group, days, whole_group=True), since)


def day_records(days: QuerySet[WorkDay], group: Group) -> list[Record]:
    """The days as records, in the order given. The queries do not grow with their number."""
    found = list(days.select_related("stand__site").prefetch_related("zones", "stand__site__notices"))
    keys = [day.pk for day in found]
    people = _people(keys)
    stems = dict(Tally.objects.standing().filter(day__in=keys).order_by().values_list("day").annotate(Sum("stems")))
    moments, policy = _moments(group, found), policy_of(group)
    return [_day(day, people.get(day.pk, {}), stems.get(day.pk), moments[day.pk], policy) for day in found]


def in_site_time(moment: datetime.datetime, zone: ZoneInfo) -> datetime.datetime:
    """A moment on the clocks of a site, to the second, with its distance from UTC."""
    return moment.astimezone(zone).replace(microsecond=0)


# --- Private ---------------------------------------------------------------------------------------------------------


def _day(
    day: WorkDay, people: dict[str, int], stems: int | None, updated_at: datetime.datetime | None, policy: Policy
) -> Record:
    site = day.stand.site
    closed = day.status == WorkDay.Status.CLOSED
    return {
        "id": day.pk,
        "title": day.title,
        "status": day.status,
        "stand": {"id": day.stand_id, "name": day.stand.name},
        "site": {"id": site.pk, "name": site.name, "time_zone": site.time_zone},
        "zones": [{"id": zone.pk, "name": zone.name} for zone in day.zones.all()],
        "date": day.date,
        "starts_at": in_site_time(day.starts_at, day.zone_info),
        "ends_at": in_site_time(day.ends_at, day.zone_info),
        "window": _window(day, policy),
        "water_places": day.water_places,
        "land_places": day.land_places,
        "water_confirmed": people.get("water", 0),
        "land_confirmed": people.get("land", 0),
        "waiting": people.get("waiting", 0),
        "worked_in_water": people.get("worked_in_water", 0) if closed else None,
        "worked_on_land": people.get("worked_on_land", 0) if closed else None,
        "did_not_come": people.get("did_not_come", 0) if closed else None,
        "stems_cut": stems if closed else None,
        "public_page": f"{settings.SITE_URL}{day.get_public_url()}",
        "updated_at": updated_at,
    }


def _window(day: WorkDay, policy: Policy) -> Record:
    """The permitted weeks of the site, and what its calendar says to the day's date."""
    rules = rules_of(day.stand.site, policy)
    verdict = rules.verdict(day.date)
    return {
        "state": verdict.state.value,
        "water_closed": verdict.water_closed,
        "opens": f"{rules.window.opens.month:02}-{rules.window.opens.day:02}",
        "closes": f"{rules.window.closes.month:02}-{rules.window.closes.day:02}",
        "codes": [reason.code for reason in verdict.reasons],
    }


def _people(days: Sequence[int]) -> dict[int, dict[str, int]]:
    """How many people are in which state, by day. One query."""
    confirmed = Q(state=SignUp.State.CONFIRMED)
    rows = (
        SignUp.objects.filter(day__in=days)
        .order_by()
        .values("day")
        .annotate(
            water=Count("pk", filter=confirmed & Q(place=SignUp.Place.WATER)),
            land=Count("pk", filter=confirmed & Q(place=SignUp.Place.LAND)),
            waiting=Count("pk", filter=Q(state__in=[SignUp.State.WAITING, SignUp.State.OFFERED])),
            worked_in_water=Count("pk", filter=confirmed & Q(outcome=SignUp.Outcome.WATER)),
            worked_on_land=Count("pk", filter=confirmed & Q(outcome=SignUp.Outcome.LAND)),
            did_not_come=Count("pk", filter=confirmed & Q(outcome=SignUp.Outcome.ABSENT)),
        )
    )
    return {row.pop("day"): row for row in rows}


def _moments(group: Group, days: Sequence[WorkDay], *, whole_group: bool = False) -> Moments:
    """When each day last changed. Four queries."""
    keys = [day.pk for day in days]
    sites = {day.stand.site_id for day in days}
    own = last_deeds(group, WorkDay, None if whole_group else keys)
    of_sites = last_deeds(group, Site, None if whole_group else sites)
    sign_ups = SignUp.objects.filter(day__in=keys).order_by().values_list("day")
    signed = dict(sign_ups.annotate(at=Max("changed_at")))
    tallies = Tally.objects.filter(day__in=keys).order_by().values_list("day")
    tallied = {
        day: latest(entered, struck)
        for day, entered, struck in tallies.annotate(a=Max("entered_at"), b=Max("struck_at"))
    }
    return {
        day.pk: latest(
            day.posted_at,
            own.get(day.pk),
            of_sites.get(day.stand.site_id),
            signed.get(day.pk),
            tallied.get(day.pk),
        )
        for day in days
    }
