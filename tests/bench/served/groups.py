"""As many groups, people and days as a measurement asks for, made in bulk."""

import datetime
from dataclasses import dataclass

from django.utils import timezone

from reedcrew.people.models import Account, Group, Member, PrivateRecord, Profile
from reedcrew.people.roles import Role
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories

ROSTER = 20  # sign-ups of each day
A_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A group with its organizer, some of its people in the order of their keys, and its days, the latest first."""

    group: Group
    organizer: Account
    members: list[Member]
    days: list[WorkDay]


def make_groups(groups: int, people: int, days: int) -> Made:
    """So many groups with their share of people and days each; returns the one in the middle.

    Three days of each group are to come, the others are closed.
    """
    made = [_make_group(people // groups, days // groups) for _number in range(groups)]
    return made[len(made) // 2]


def _make_group(people: int, days: int) -> Made:
    group = factories.make_group()
    organizer = factories.account_of(factories.make_member(group, role=Role.ORGANIZER))
    stand = factories.make_stand(group)
    zone = factories.make_zone(stand)
    accounts = Account.objects.bulk_create(
        Account(email=f"{group.slug}-{number}@example.org") for number in range(people - 1)
    )
    members = Member.objects.bulk_create(
        Member(group=group, account=account, name=f"Person {number}") for number, account in enumerate(accounts)
    )
    Profile.objects.bulk_create(Profile(member=member, adult=True, languages=["en"]) for member in members)
    PrivateRecord.objects.bulk_create(PrivateRecord(member=member) for member in members)
    now = timezone.now()
    posted = WorkDay.objects.bulk_create(
        _day(stand, organizer, now + (10 - 7 * number) * A_DAY, now, title=f"Cutting day {days - number}")
        for number in range(-2, days - 2)
    )
    WorkDay.zones.through.objects.bulk_create(
        WorkDay.zones.through(workday_id=day.pk, zone_id=zone.pk) for day in posted
    )
    SignUp.objects.bulk_create(
        SignUp(
            **{"day": day, "member": members[(7 * turn + place) % len(members)], "place": SignUp.Place.LAND},
            **{"number": place + 1, "state": SignUp.State.CONFIRMED, "signed_up_at": now, "changed_at": now},
            signed_up_by=organizer,
        )
        for turn, day in enumerate(posted)
        for place in range(min(ROSTER, len(members)))
    )
    return Made(group=group, organizer=organizer, members=members, days=posted)


def _day(
    stand: Stand, organizer: Account, starts_at: datetime.datetime, now: datetime.datetime, *, title: str
) -> WorkDay:
    return WorkDay(
        **{"stand": stand, "title": title, "date": starts_at.date(), "starts_at": starts_at},
        **{"ends_at": starts_at + datetime.timedelta(hours=4), "water_places": 0, "land_places": 200},
        **{"posted_by": organizer, "posted_at": now},
        status=WorkDay.Status.POSTED if starts_at > now else WorkDay.Status.CLOSED,
    )
