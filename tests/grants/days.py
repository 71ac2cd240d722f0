"""Closed days with hours, and grants, for the tests of the ledger and of grants."""

import datetime
from typing import Any

from reedcrew.grants import services
from reedcrew.grants.models import Grant, HourEntry
from reedcrew.people.models import Account, Group, Member
from reedcrew.stands.models import Stand
from reedcrew.trade.valuation import Activity, Kind, Role
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.factories import NOW, START

HOUR = datetime.timedelta(hours=1)


def make_closed(stand: Stand, *, minutes: int = 240, members: list[Member] | None = None, **fields: Any) -> WorkDay:
    """A closed day with a line of field work for each member (one, when none are given)."""
    day = factories.make_day(stand, status=WorkDay.Status.CLOSED, zones=[], **fields)
    for member in members or [factories.make_member(stand.site.group)]:
        make_line(day, member, minutes=minutes)
    return day


def make_line(day: WorkDay, member: Member, *, minutes: int = 240, **fields: Any) -> HourEntry:
    """A line of the ledger as a row alone."""
    start = fields.pop("started_at", day.starts_at)
    return HourEntry.objects.create(
        **{
            "group": day.group,
            "member": member,
            "day": day,
            "stand": day.stand,
            "date": day.date,
            "started_at": start,
            "ended_at": start + datetime.timedelta(minutes=minutes),
            "minutes": minutes,
            "entered_by": day.posted_by,
            "entered_at": day.ends_at,
            **fields,
        }
    )


def make_grant(group: Group, *stands: Stand, name: str = "Shore grant", **facts: Any) -> Grant:
    return services.record_grant(
        group=group,
        facts=services.GrantFacts(
            **{
                "name": name,
                "funder": "Lake fund",
                "number": "LF-1",
                "starts_on": datetime.date(2026, 4, 1),
                "ends_on": datetime.date(2027, 3, 31),
                "stands": stands,
                **facts,
            }
        ),
        actor=factories.make_account(),
        now=NOW,
    )


def travel(day: WorkDay, *members: Member, actor: Account, now: datetime.datetime, **changes: Any) -> list[HourEntry]:
    """An hour on the way before the day begins."""
    hours = services.ExtraHours(
        **{
            "members": members,
            "kind": Kind.TRAVEL,
            "activity": Activity.ON_THE_WAY,
            "role": Role.CREW,
            "started_at": START - HOUR,
            "ended_at": START,
            "evidence": "31 km by car from Larkholm",
            **changes,
        }
    )
    return services.enter_extra_hours(day=day, hours=hours, actor=actor, now=now)
