"""What the mail shows on the first page: to a person, that mail to them does not arrive."""

import datetime
from typing import cast

from django.http import HttpRequest

from reedcrew.invites.addresses import is_marked
from reedcrew.invites.models import CalendarEntry
from reedcrew.people.home import Panel
from reedcrew.people.models import Account
from reedcrew.workdays.my_day import MyDay


def my_address(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """That mail to the reader's address does not arrive."""
    account = cast(Account, request.user)
    if not is_marked(account.email):
        return None
    return Panel(template="invites/_my_address.html", context={"address": account.email})


def calendar_of_day(mine: MyDay) -> Panel | None:
    """The day as a file for the calendar, for those who hold a place or wait for one."""
    entries = CalendarEntry.objects.filter(sign_up__in=[each.pk for each in mine.own])
    if not mine.ahead or not entries.exists():
        return None
    return Panel(template="invites/_calendar_of_day.html", context={"day": mine.day})
