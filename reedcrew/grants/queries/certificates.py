"""A volunteer's own hours, for school or employer."""

import datetime
from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from reedcrew.grants.models import ACTIVITIES, Approval, HourEntry
from reedcrew.people.models import Member


@dataclass(frozen=True, slots=True, kw_only=True)
class CertificateLine:
    """One line of the ledger: what a person did on one day, in whole minutes."""

    date: datetime.date
    place: str
    activity: str
    minutes: int
    approved: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """The lines of one person from ``first`` to ``last``, both included; None leaves that side open."""

    member: Member
    first: datetime.date | None
    last: datetime.date | None
    lines: tuple[CertificateLine, ...]

    @property
    def minutes(self) -> int:
        return sum(line.minutes for line in self.lines)

    @property
    def approved_minutes(self) -> int:
        """Minutes of days that a coordinator has approved."""
        return sum(line.minutes for line in self.lines if line.approved)

    @property
    def days(self) -> int:
        return len({line.date for line in self.lines})


def certificate(member: Member, first: datetime.date | None, last: datetime.date | None) -> Certificate:
    """What a person did, corrections included; a line that was taken away is left out. One query."""
    words = dict(ACTIVITIES)
    approved = Exists(Approval.objects.standing().filter(day=OuterRef("day")))
    rows = (
        HourEntry.objects.standing()
        .filter(member=member, minutes__gt=0)
        .in_period(first, last)
        .annotate(approved=approved)
        .order_by("date", "started_at", "pk")
        .values_list("date", "stand__name", "stand__site__name", "activity", "minutes", "approved")
    )
    return Certificate(
        member=member,
        first=first,
        last=last,
        lines=tuple(
            CertificateLine(
                date=date, place=f"{stand}, {site}", activity=str(words[activity]), minutes=minutes, approved=approved
            )
            for date, stand, site, activity, minutes, approved in rows
        ),
    )
