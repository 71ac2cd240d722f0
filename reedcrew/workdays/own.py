"""What people read of their own days: whom to call, how to give a place back, and afterwards what was done."""

import datetime
import itertools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from reedcrew.people.home import Panel
from reedcrew.people.models import Account, Member
from reedcrew.people.queries import LedDay
from reedcrew.people.roles import MAY, Deed
from reedcrew.stands import work_records
from reedcrew.workdays import presence
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.my_day import MyDay

_NOT_DIALLED = re.compile(r"[^\d+]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """Somebody who runs the day, as the people of the day may call them."""

    name: str
    phone: str

    @property
    def dial(self) -> str:
        """The number as a ``tel:`` address takes it (RFC 3966): digits, and a plus in front of a country."""
        return _NOT_DIALLED.sub("", self.phone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """What all did on a closed day. ``stems`` is None where nobody counted, ``area_m2`` where no zone's is known."""

    people: int
    time: datetime.timedelta
    stems: int | None
    low: int | None
    high: int | None
    area_m2: float | None
    own: Sequence[tuple[Member, datetime.timedelta]]


def leads_of(day: WorkDay, now: datetime.datetime) -> list[Lead]:
    """The people of the day's roster who may run it and gave a phone number, from the day before on.

    The same time in which they, for their part, may read whom to call for somebody (people.queries.LedDay).
    """
    if not _is_near(day, now):
        return []
    on_roster = day.sign_ups.expected().filter(member__role__in=MAY[Deed.RUN_DAY]).exclude(member__profile__phone="")
    return [
        Lead(name=each.member.given_name, phone=each.member.profile.phone)
        for each in on_roster.select_related("member__profile").order_by("member__name", "pk")
    ]


def late_or_away(mine: MyDay) -> Panel | None:
    """Whom to call, and the way to give a place back, until the day ends."""
    if not mine.ahead:
        return None
    context = {
        "day": mine.day,
        "sign_ups": mine.own,
        "leads": leads_of(mine.day, mine.now) if mine.confirmed else [],
        "numbers_follow": bool(mine.confirmed) and not _is_near(mine.day, mine.now),
        "address": mine.day.group.contact_email,
    }
    return Panel(template="workdays/_give_back.html", context=context)


def together(day: WorkDay, own: Sequence[SignUp]) -> Together:
    """What was done on a closed day, and the time of one's own. The number of queries grows with nothing."""
    stayed = presence.time_on_site(day)
    stems, low, high = work_records.stems_of_day(day.stand, day.pk) or (None, None, None)
    areas = [float(zone.area_m2) for zone in day.zones.all() if zone.area_m2 is not None]
    return Together(
        people=len(stayed),
        time=sum(stayed.values(), datetime.timedelta()),
        stems=stems,
        low=low,
        high=high,
        area_m2=sum(areas) if areas else None,
        own=[(each.member, stayed[each.member_id]) for each in own if each.member_id in stayed],
    )


def done_together(mine: MyDay) -> Panel | None:
    """What a closed day came to, and how the stand has changed."""
    if mine.day.status != WorkDay.Status.CLOSED:
        return None
    done = together(mine.day, mine.own)
    context = {"done": done, "stand": mine.day.stand, "group": mine.day.group}
    return Panel(template="workdays/_done_together.html", context=context) if done.people else None


def by_day(sign_ups: Iterable[SignUp]) -> list[tuple[WorkDay, list[SignUp]]]:
    """Sign-ups of one family, which come day by day, under their days."""
    return [(day, list(of_day)) for day, of_day in itertools.groupby(sign_ups, key=lambda each: each.day)]


def past_days_of(account: Account, now: datetime.datetime) -> QuerySet[SignUp]:
    """The days that are over on which an account or a child in its care had a place, the latest first."""
    return (
        SignUp.objects.confirmed()
        .filter(day__ends_at__lte=now, member__in=Member.objects.in_care_of_account(account))
        .exclude(day__status=WorkDay.Status.CANCELLED)
        .select_related("member", "day__stand__site__group")
        .order_by("-day__starts_at", "day", "number", "pk")
    )


def _is_near(day: WorkDay, now: datetime.datetime) -> bool:
    today = now.astimezone(day.zone_info).date()
    return LedDay(date=day.date, today=today, people=frozenset()).is_near
