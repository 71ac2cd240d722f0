"""What the mail shows on the start pages: to a person whose mail does not arrive, to organizers what asks for eyes."""

import datetime
from typing import cast

from django.http import HttpRequest

from reedcrew.invites.addresses import is_marked
from reedcrew.invites.models import CalendarEntry, IncomingMail, OutgoingMail
from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.models import Account
from reedcrew.people.roles import Deed
from reedcrew.workdays.my_day import MyDay


def my_address(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """That mail to the reader's address does not arrive."""
    account = cast(Account, request.user)
    if not is_marked(account.email):
        return None
    return Panel(template="invites/_my_address.html", context={"address": account.email})


def mail_of_group(request: HttpRequest, now: datetime.datetime) -> Panel | None:
    """To organizers: mails that came in and ask for eyes, mails refused for good, and mails that do not get through."""
    reader: GroupRequest = request  # type: ignore[assignment]  # group pages only
    if not reader.member.may(Deed.SEE_MAIL):
        return None
    looks = IncomingMail.objects.of_group(reader.group).to_look_at().count()
    mails = OutgoingMail.objects.of_group(reader.group)
    refused, held_up = mails.filter(state=OutgoingMail.State.REFUSED).count(), mails.held_up().count()
    if not looks and not refused and not held_up:
        return None
    context = {"looks": looks, "refused": refused, "held_up": held_up, "group": reader.group}
    return Panel(template="invites/_mail_of_group.html", context=context)


def calendar_of_day(mine: MyDay) -> Panel | None:
    """The day as a file for the calendar, for those who hold a place or wait for one."""
    entries = CalendarEntry.objects.filter(sign_up__in=[each.pk for each in mine.own])
    if not mine.ahead or not entries.exists():
        return None
    return Panel(template="invites/_calendar_of_day.html", context={"day": mine.day})
