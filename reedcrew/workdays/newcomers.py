"""Signing up before signing in: what a stranger filled in waits in their session until the mailed code is entered.

Nothing of it is anybody's place yet: an address is proved first. The answers are read once, by whoever signs in with
that address, for as long as the code itself would count.
"""

import datetime
from collections.abc import Iterable

from django.conf import settings
from django.contrib import messages
from django.contrib.sessions.backends.base import SessionBase
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.people.models import Account
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays import services
from reedcrew.workdays.models import SignUp, WorkDay

KEY = "first sign-up"


def keep(session: SessionBase, *, day: WorkDay, name: str, email: str, place: str, now: datetime.datetime) -> None:
    """Keep the answers of somebody who has been mailed a code; an earlier sign-up that was not finished is dropped."""
    until = now + datetime.timedelta(seconds=settings.ACCOUNT_LOGIN_BY_CODE_TIMEOUT)
    session[KEY] = {"day": day.pk, "name": name, "email": email.lower(), "place": place, "until": until.isoformat()}


def finish(request: HttpRequest, account: Account, now: datetime.datetime) -> None:
    """Sign the account up with the answers that wait in its session, and say how that went. Nothing waits: nothing.

    What is refused by now, such as a day that was cancelled in between, is told and leaves no trace.
    """
    asked = request.session.pop(KEY, None)
    if asked is None or asked["email"] != account.email or now > datetime.datetime.fromisoformat(asked["until"]):
        return
    day = WorkDay.objects.with_stand().filter(pk=asked["day"]).first()
    if day is None:
        return
    try:
        first = services.sign_up_newcomer(day=day, account=account, name=asked["name"], place=asked["place"], now=now)
    except ReedcrewError as refusal:
        messages.warning(request, str(refusal))
    else:
        thank(request, [first.sign_up])


def thank(request: HttpRequest, signed_up: Iterable[SignUp]) -> None:
    """Say who has a place and who waits, on the page that comes next."""
    states = [each.state for each in signed_up]
    waiting = states.count(SignUp.State.WAITING)
    if confirmed := len(states) - waiting:
        text = ngettext(
            "You have a place. An invitation is on its way to your calendar.",
            "%(count)d places are yours. Invitations are on their way to your calendar.",
            confirmed,
        )
        messages.success(request, text % {"count": confirmed})
    if waiting:
        messages.info(request, _("The day is full: you are on the waiting list and hear from us when a place is free."))
