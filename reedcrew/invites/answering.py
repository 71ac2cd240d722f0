"""What a press on the page behind a mail's link does. A press repeated, or one that comes too late, does no harm."""

import datetime

from django.db import transaction

from reedcrew.invites.answer_links import AnswerLink, Purpose
from reedcrew.invites.models import CalendarEntry, IncomingMail
from reedcrew.people.models import Account
from reedcrew.workdays import services as workdays
from reedcrew.workdays import waiting_list
from reedcrew.workdays.models import SignUp


def entry_of(link: AnswerLink) -> CalendarEntry | None:
    """The calendar entry that a link is about; None when it is gone."""
    entries = CalendarEntry.objects.select_related(
        "sign_up__member__account", "sign_up__member__guardian__account", "sign_up__day__stand__site__group"
    )
    if link.purpose is Purpose.CONFIRM:
        return entries.filter(incoming_mails=link.pk).first()
    return entries.filter(pk=link.pk).first()


def current_sign_up(entry: CalendarEntry) -> SignUp:
    """How the person stands on that day now: their sign-up, or the one that came after it."""
    day, member = entry.sign_up.day, entry.sign_up.member
    standing = day.sign_ups.active().filter(member=member).select_related("member", "day__stand__site__group").first()
    return standing or entry.sign_up


@transaction.atomic
def follow(*, link: AnswerLink, entry: CalendarEntry, comes: bool, now: datetime.datetime) -> None:
    """Do what the link is for. Raises what the work days refuse, such as DayOver or NoPlaceForYou."""
    sign_up = current_sign_up(entry)
    account = sign_up.member.mail_account
    if account is None:
        return
    match link.purpose:
        case Purpose.OFFER if comes:
            waiting_list.take_place(sign_up=sign_up, actor=account, now=now)
        case Purpose.OFFER if sign_up.state == SignUp.State.OFFERED:
            workdays.withdraw(sign_up=sign_up, actor=account, now=now)
        case Purpose.CONFIRM if not comes and sign_up.pk == entry.sign_up_id:
            _confirm(link, sign_up, account, now)
        case Purpose.UNDO if comes and sign_up.state == SignUp.State.WITHDRAWN:
            workdays.sign_up(day=sign_up.day, member=sign_up.member, place=sign_up.place, actor=account, now=now)
        case _:
            pass


def _confirm(link: AnswerLink, sign_up: SignUp, account: Account, now: datetime.datetime) -> None:
    workdays.withdraw(sign_up=sign_up, actor=account, now=now)
    IncomingMail.objects.filter(pk=link.pk).update(outcome=IncomingMail.Outcome.APPLIED)
