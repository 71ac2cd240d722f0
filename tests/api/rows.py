"""A group as programs read it: rows with keys and codes of their own, so that answers can be shown as they are."""

import datetime
import uuid
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.test import Client

from reedcrew.api import services
from reedcrew.api.models import ApiToken, Event, Webhook
from reedcrew.api.scopes import Scope
from reedcrew.crews.models import Assignment, Plan
from reedcrew.fieldbook.models import Tally
from reedcrew.grants.models import HourEntry
from reedcrew.people.models import AuditEntry, Group, Member
from reedcrew.people.roles import Role
from reedcrew.stands.models import Stand, Zone
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import NOW, account_of

HOUR = datetime.timedelta(hours=1)
SQUARE = {
    "type": "Polygon",
    "coordinates": [
        [[-76.501, 44.2502], [-76.5004, 44.2502], [-76.5004, 44.2506], [-76.501, 44.2506], [-76.501, 44.2502]]
    ],
}


def make_token(member: Member, *scopes: Scope, number: int = 1, days: int = 90) -> tuple[ApiToken, str]:
    """A token of a member with its secret."""
    made = services.make_token(
        member=member,
        name="Map of our website",
        scopes=scopes or tuple(Scope),
        expires_at=NOW + datetime.timedelta(days=days),
        submission=uuid.uuid5(uuid.NAMESPACE_OID, f"{member.pk} {number}"),
        now=NOW,
    )
    assert made.secret is not None
    return made.token, made.secret


def make_webhook(group: Group, url: str, **fields: Any) -> Webhook:
    """A webhook as a row alone, whatever its address leads to."""
    return Webhook.objects.create(
        group=group,
        url=url,
        **{
            "events": [Event.DAY_POSTED.value, Event.DAY_CLOSED.value],
            "secret": "hook_first",
            "made_by": factories.make_account(),
            "made_at": NOW,
            "submission": uuid.uuid4(),
            **fields,
        },
    )


def program(secret: str) -> Client:
    """A program that shows a token."""
    return Client(headers={"Authorization": f"Bearer {secret}"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """A group with one stand, a closed day, a posted one with a plan, and hours with a correction."""

    group: Group
    organizer: Member
    child: Member
    stand: Stand
    zone: Zone
    closed: WorkDay
    posted: WorkDay


def make_bay(first: int = 0) -> Bay:
    """Make the rows. Keys begin behind ``first``, so that two groups can stand side by side."""
    group = factories.make_group(
        pk=first + 7, name="Heron Bay Reed Crew", slug=f"heron-bay-{first}" if first else "heron-bay"
    )
    people = [
        factories.make_member(group, role=role, name=name, code=code)
        for role, name, code in (
            (Role.ORGANIZER, "Ash Rowan", "4KQ7MX2P"),
            (Role.VOLUNTEER, "Fern Alder", "9TWB3HCR"),
            (Role.VOLUNTEER, "Reed Sedge", "VZ5JN8DA"),
        )
    ]
    child = factories.make_child(people[1], name="Wren Alder", code="P2G6XK9E")
    site = factories.make_site(group, pk=first + 11, name="Heron Bay")
    stand = factories.make_stand(
        group,
        site=site,
        pk=first + 31,
        name="North cove",
        first_cut_year=2025,
        outline=SQUARE,
        area_m2=Decimal("2134.5"),
    )
    zone = factories.make_zone(
        stand, pk=first + 71, name="Inner water", depth_cm=60, area_m2=Decimal(400), current_m_s=Decimal("0.05")
    )
    factories.make_zone(stand, pk=first + 72, name="Dry edge", depth_cm=0, bed=Zone.Bed.DRY, stems=1500)
    factories.make_survey(stand, {zone: [22, 31, 18, 27, 25, 30, 19, 24]}, pk=first + 5)
    for subject in (f"stands.Stand:{stand.pk}", f"stands.Zone:{zone.pk}"):
        AuditEntry.objects.create(group=group, at=NOW - 48 * HOUR, deed="stand changed", subject=subject)

    account = account_of(people[0])
    closed = factories.make_day(
        stand,
        pk=first + 101,
        title="First cut of the year",
        date=datetime.date(2026, 8, 8),
        starts_at=NOW - 47 * HOUR,
        ends_at=NOW - 43 * HOUR,
        posted_at=NOW - 300 * HOUR,
        posted_by=account,
        status=WorkDay.Status.CLOSED,
        share_code=f"hbay{first}closed"[:10],
    )
    outcomes = (SignUp.Outcome.WATER, SignUp.Outcome.WATER, SignUp.Outcome.ABSENT)
    for person, outcome in zip(people, outcomes, strict=True):
        factories.make_sign_up(closed, person, outcome=outcome, changed_at=NOW - 60 * HOUR)
    ended = NOW - 43 * HOUR
    Tally.objects.create(day=closed, zone=zone, method="counted", stems=1240, entered_by=account, entered_at=ended)

    posted = factories.make_day(
        stand,
        pk=first + 102,
        title="Second morning",
        date=datetime.date(2026, 8, 22),
        starts_at=NOW + 12 * 24 * HOUR + HOUR,
        ends_at=NOW + 12 * 24 * HOUR + 5 * HOUR,
        posted_at=NOW - 24 * HOUR,
        posted_by=account,
        share_code=f"hbay{first}posted"[:10],
    )
    _plan(posted, zone, [*people, child], first)
    _hours(closed, stand, people[:2], first)
    return Bay(group=group, organizer=people[0], child=child, stand=stand, zone=zone, closed=closed, posted=posted)


def _plan(day: WorkDay, zone: Zone, people: list[Member], first: int) -> None:
    account = day.posted_by
    sign_ups = [factories.make_sign_up(day, person, changed_at=NOW - 20 * HOUR) for person in people]
    water = {"item": "chest waders", "size": "43", "unit": "", "needed": 2, "own": 1, "in_stock": 1, "short": 0}
    plan = Plan.objects.create(
        pk=first + 51,
        day=day,
        made_at=NOW - 19 * HOUR,
        made_by=account,
        status="optimal",
        told=True,
        accepted_at=NOW - 18 * HOUR,
        accepted_by=account,
        answer={
            "depths_cm": {str(zone.pk): 64},
            "objective": [2],
            "bound": [2],
            "closed_zones": [],
            "gear": [{**water, "who": [], "without": [], "reasons": []}],
            "warnings": [],
            "pins_aside": [],
        },
    )
    for sign_up in sign_ups[:2]:
        Assignment.objects.create(plan=plan, sign_up=sign_up, kind=Assignment.Kind.UNIT, unit_number=1, zone=zone)
    Assignment.objects.create(plan=plan, sign_up=sign_ups[2], kind=Assignment.Kind.SHORE, role="spotter", zone=zone)
    Assignment.objects.create(plan=plan, sign_up=sign_ups[3], kind=Assignment.Kind.SHORE, role="hauler")


def _hours(day: WorkDay, stand: Stand, people: list[Member], first: int) -> None:
    whole = {
        "group": stand.site.group,
        "day": day,
        "stand": stand,
        "date": day.date,
        "started_at": day.starts_at,
        "activity": "water",
        "entered_by": day.posted_by,
    }
    closed_at = day.ends_at
    wrong = HourEntry.objects.create(
        pk=first + 901, member=people[1], ended_at=day.ends_at, minutes=240, entered_at=closed_at, **whole
    )
    HourEntry.objects.create(
        pk=first + 902,
        member=people[1],
        ended_at=day.ends_at - HOUR,
        minutes=180,
        entered_at=closed_at + HOUR,
        corrects=wrong,
        reason="Left an hour earlier.",
        **whole,
    )
    HourEntry.objects.create(
        pk=first + 903, member=people[0], ended_at=day.ends_at, minutes=240, entered_at=closed_at, **whole
    )
