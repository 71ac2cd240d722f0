"""The rows of README.md beside this file."""

import datetime
import io
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.core.files.base import ContentFile
from PIL import Image

from reedcrew.fieldbook.models import Attendance, DayPhoto, Incident, Load, Tally
from reedcrew.grants.models import Approval, Claim, Grant, HourEntry, HourlyRate
from reedcrew.people.models import Account, Group, Member
from reedcrew.people.roles import Role
from reedcrew.stands.models import Zone
from reedcrew.workdays.models import WorkDay
from tests import factories

ZONE = ZoneInfo("America/Toronto")
FIRST_DAY, SECOND_DAY = datetime.date(2026, 8, 15), datetime.date(2026, 9, 12)
MADE_AT = datetime.datetime(2027, 7, 1, 12, tzinfo=datetime.UTC)
BAD_TEXT = '=HYPERLINK("https://example.org";"press, here")'
LINES = 6
PRIVATE_TEXT = "Cut on the left shin"


@dataclass(frozen=True)
class Worked:
    group: Group
    grant: Grant
    other: Grant
    coordinator: Member
    ann: Member
    ben: Member
    cid: Member
    days: tuple[WorkDay, WorkDay]


def at(date: datetime.date, clock: str) -> datetime.datetime:
    return datetime.datetime.combine(date, datetime.time.fromisoformat(clock), tzinfo=ZONE)


def worked() -> Worked:
    """Write the rows down."""
    group = factories.make_group(name="Reed crew")
    coordinator = factories.make_member(group, role=Role.COORDINATOR, name="Cora")
    keeper = factories.account_of(coordinator)
    ann, ben, cid = (factories.make_member(group, name=name) for name in ("Ann", "Ben", "Cid"))
    stand = factories.make_stand(group, site=factories.make_site(group, name="Landing"), name="Bay stand")
    known = factories.make_zone(stand, name="A", area_m2=Decimal(120))
    unknown = factories.make_zone(stand, name="B")
    closed = WorkDay.Status.CLOSED
    first = factories.make_day(
        stand, date=FIRST_DAY, starts_at=at(FIRST_DAY, "09:00"), ends_at=at(FIRST_DAY, "14:00"), status=closed
    )
    second = factories.make_day(
        stand,
        title=BAD_TEXT,
        date=SECOND_DAY,
        starts_at=at(SECOND_DAY, "09:00"),
        ends_at=at(SECOND_DAY, "13:00"),
        status=closed,
    )
    grant, other = (
        Grant.objects.create(
            group=group,
            name=name,
            funder="Lake fund",
            number=number,
            starts_on=datetime.date(2026, 7, 1),
            ends_on=datetime.date(2027, 6, 30),
            rounding="quarter",
        )
        for name, number in (("Shore grant", "LF-1"), ("Other grant", "LF-2"))
    )
    grant.stands.add(stand)
    for role, since, hourly, fringe in (
        ("crew", datetime.date(2026, 1, 1), "15.84", 0),
        ("crew", datetime.date(2026, 9, 1), "16.00", 0),
        ("lead", datetime.date(2026, 1, 1), "24.66", 30),
    ):
        HourlyRate.objects.create(
            group=group,
            role=role,
            since=since,
            hourly=Decimal(hourly),
            fringe_percent=fringe,
            currency="USD",
            source="Wage statistics",
            source_date=since,
            recorded_by=keeper,
            recorded_at=MADE_AT,
        )

    def line(day: WorkDay, member: Member, start: str, end: str, role: str = "crew", **fields: Any) -> HourEntry:
        begun, ended = at(day.date, start), at(day.date, end)
        made = HourEntry.objects.create(
            **{
                "group": group,
                "member": member,
                "day": day,
                "stand": stand,
                "date": day.date,
                "role": role,
                "started_at": begun,
                "ended_at": ended,
                "minutes": (ended - begun) // datetime.timedelta(minutes=1),
                "entered_by": keeper,
                "entered_at": MADE_AT,
                **fields,
            }
        )
        Claim.objects.create(entry=made, grant=grant, claimed_by=keeper, claimed_at=MADE_AT)
        return made

    line(first, ann, "09:02", "13:08", "lead")
    line(first, ben, "09:07", "12:52")
    elsewhere = line(first, ben, "13:00", "14:00")
    Claim.objects.filter(entry=elsewhere).update(grant=other)
    line(second, ben, "09:08", "11:37")
    slip = line(second, cid, "09:00", "12:00")
    line(second, cid, "09:00", "10:00", corrects=slip, reason=BAD_TEXT)
    line(second, cid, "08:00", "08:40", kind="travel", activity="way", evidence="12 km, odometer")
    line(second, cid, "07:00", "07:30", "support", kind="preparation", activity="planning", evidence="List of gear")
    for member, start, end in ((ann, "09:02", "13:08"), (ben, "09:07", "12:52")):
        Attendance.objects.create(
            day=first,
            member=member,
            signed_in_at=at(FIRST_DAY, start),
            signed_out_at=at(FIRST_DAY, end),
            entered_by=keeper,
            entered_at=MADE_AT,
        )
    Approval.objects.create(day=first, entries=3, minutes=531, approved_by=keeper, approved_at=MADE_AT)
    _tallies(first, second, known, unknown, keeper)
    Load.objects.create(day=first, kind="pile", count=3, place="High bank", entered_by=keeper, entered_at=MADE_AT)
    Load.objects.create(
        day=second,
        kind="bags",
        count=5,
        place="Slab",
        seed_heads=True,
        sun_until=datetime.date(2026, 9, 26),
        moved_on_at=at(datetime.date(2026, 10, 3), "22:30"),  # the next day by UTC
        moved_on_by=keeper,
        moved_on_to="County yard",
        entered_by=keeper,
        entered_at=MADE_AT,
    )
    _incidents(second, keeper)
    _photos(first, known, keeper)
    factories.make_survey(stand, {known: [4, 6, 5, 5]}, surveyed_on=datetime.date(2026, 7, 10))
    factories.make_survey(stand, {known: [1, 3, 2, 2]}, surveyed_on=datetime.date(2027, 6, 20))
    return Worked(group, grant, other, coordinator, ann, ben, cid, (first, second))


def _incidents(day: WorkDay, keeper: Account) -> None:
    """Two near misses, an injury, and one that was struck out."""
    for kind, struck in (("near_miss", False), ("near_miss", False), ("injury", False), ("injury", True)):
        Incident.objects.create(
            day=day,
            kind=kind,
            happened_at=day.starts_at,
            what=PRIVATE_TEXT,
            who=PRIVATE_TEXT,
            entered_by=keeper,
            entered_at=MADE_AT,
            **({"struck_by": keeper, "struck_at": MADE_AT, "struck_reason": "twice"} if struck else {}),
        )


def _photos(day: WorkDay, zone: Zone, keeper: Account) -> None:
    """Two photos from before the work, of which the first is shown, and one from after it."""
    for number, kind in enumerate(("before", "before", "after")):
        picture = io.BytesIO()
        Image.new("RGB", (60, 40), (90, 120 + number, 60)).save(picture, "JPEG")
        DayPhoto.objects.create(
            day=day,
            zone=zone,
            kind=kind,
            picture=ContentFile(picture.getvalue(), name=f"{number}.jpg"),
            thumbnail=ContentFile(picture.getvalue(), name=f"{number}-small.jpg"),
            width=60,
            height=40,
            digest=str(number),
            entered_by=keeper,
            entered_at=MADE_AT + number * datetime.timedelta(minutes=1),
        )


def _tallies(first: WorkDay, second: WorkDay, known: Any, unknown: Any, keeper: Account) -> None:
    for day, zone, stems, low, high in (
        (first, known, 400, None, None),
        (second, known, 1_000, 940, 1_060),
        (second, unknown, 600, 520, 680),
    ):
        Tally.objects.create(
            day=day,
            zone=zone,
            method="counted" if low is None else "bundles",
            bundles=None if low is None else 10,
            stems=stems,
            stems_low=low,
            stems_high=high,
            entered_by=keeper,
            entered_at=MADE_AT,
        )
