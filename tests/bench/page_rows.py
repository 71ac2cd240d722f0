"""The ten most used pages and a group with so many rows of each kind that they list."""

import datetime
from collections.abc import Mapping

from django.test import Client
from django.urls import reverse

from reedcrew.grants.models import HourEntry
from reedcrew.people.models import Member, Profile
from reedcrew.people.roles import Role
from reedcrew.stock.models import StockLine
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import END, NOW, START


def make_group_of_pages(rows: int) -> tuple[Client, Mapping[str, str]]:
    """An organizer's browser, and the pages by name: ``rows`` people, sign-ups, days, sizes of boots and hours each."""
    group = factories.make_group()
    organizer = factories.make_member(group, role=Role.ORGANIZER)
    keeper = factories.account_of(organizer)
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand, posted_by=keeper, land_places=rows + 10)
    people = Member.objects.bulk_create(Member(group=group, name=f"Person {number:04}") for number in range(rows))
    Profile.objects.bulk_create(Profile(member=member, adult=True, languages=["en"]) for member in people)
    SignUp.objects.bulk_create(
        SignUp(
            **{"day": day, "member": member, "place": SignUp.Place.LAND, "state": SignUp.State.CONFIRMED},
            **{"number": number, "signed_up_by": keeper, "signed_up_at": NOW, "changed_at": NOW},
        )
        for number, member in enumerate(people, start=1)
    )
    weeks = [datetime.timedelta(weeks=number) for number in range(1, rows + 1)]
    days = WorkDay.objects.bulk_create(
        WorkDay(
            **{"stand": stand, "title": "Cutting day", "date": START.date() - week, "starts_at": START - week},
            **{"ends_at": END - week, "water_places": 10, "land_places": 10, "posted_by": keeper},
            **{"posted_at": NOW - week, "status": WorkDay.Status.CLOSED},
        )
        for week in weeks
    )
    HourEntry.objects.bulk_create(
        HourEntry(
            **{"group": group, "member": member, "day": day_of, "stand": stand, "date": day_of.date, "minutes": 240},
            **{"started_at": day_of.starts_at, "ended_at": day_of.starts_at + datetime.timedelta(hours=4)},
            **{"entered_by": keeper, "entered_at": day_of.ends_at},
        )
        for member, day_of in zip(people, days, strict=True)
    )
    StockLine.objects.bulk_create(
        StockLine(group=group, item="boots", size=f"{36 + number / 100:.2f}") for number in range(rows)
    )
    client = Client()
    client.force_login(keeper)
    slug = group.slug
    return client, {
        "start": "/",
        "group": reverse("people:group", args=[slug]),
        "days": reverse("workdays:days", args=[slug]),
        "day": day.get_absolute_url(),
        "public day": day.get_public_url(),
        "roster": reverse("workdays:roster", args=[slug, day.pk]),
        "people": reverse("people:members", args=[slug]),
        "stand": stand.get_absolute_url(),
        "stock": reverse("stock:stock", args=[slug]),
        "hours": reverse("grants:hours", args=[slug]),
    }
