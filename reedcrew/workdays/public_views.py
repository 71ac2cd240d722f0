"""The page of a work day that can be shared, and signing up from it."""

from typing import cast

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.people.models import Account, Member
from reedcrew.people.services import join_group
from reedcrew.web.errors import refusals_on
from reedcrew.workdays import queries, services, waiting_list
from reedcrew.workdays.forms import FirstSignUpForm, SignUpForm
from reedcrew.workdays.models import SignUp, WorkDay


def _shared_day(code: str) -> WorkDay:
    return get_object_or_404(WorkDay.objects.with_stand(), share_code=code)


@require_GET
def public_day(request: HttpRequest, code: str) -> HttpResponse:
    """What anybody with the address may know. Only to the signed-in reader it adds the reader's own sign-ups."""
    day = _shared_day(code)
    own = queries.own_lines(day, request.user) if isinstance(request.user, Account) else ()
    places = queries.places_of(day)
    context = {
        "day": day,
        "site": day.stand.site,
        "group": day.group,
        "places": places,
        "is_full": not any(kind.free for kind in places),
        "season": queries.season_warnings(day),
        "own": own,
        "may_sign_up": day.is_open and not day.has_ended(timezone.now()),
    }
    return render(request, "workdays/public_day.html", context)


@require_http_methods(["GET", "POST"])
@login_required
def sign_up(request: HttpRequest, code: str) -> HttpResponse:
    day, account = _shared_day(code), cast(Account, request.user)
    if Member.objects.current().of_account(account).filter(group=day.group).exists():
        return _sign_up_member(request, day, account)
    return _sign_up_newcomer(request, day, account)


def _sign_up_member(request: HttpRequest, day: WorkDay, account: Account) -> HttpResponse:
    members = queries.sign_up_choices(day, account)
    if not members:
        return redirect(day.get_public_url())
    form = SignUpForm(request.POST or None, day=day, members=members)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form), transaction.atomic():
            signed_up = [
                services.sign_up(day=day, member=member, place=place, actor=account, now=timezone.now()).sign_up
                for member, place in form.chosen()
            ]
            return _thank(request, day, signed_up)
    return render(request, "workdays/sign_up.html", {"form": form, "day": day})


def _sign_up_newcomer(request: HttpRequest, day: WorkDay, account: Account) -> HttpResponse:
    form = FirstSignUpForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form), transaction.atomic():
            now = timezone.now()
            member = join_group(
                group=day.group, account=account, name=form.cleaned_data["name"], adult=True, born_on=None, now=now
            )
            place = form.cleaned_data["place"]
            first = services.sign_up(day=day, member=member, place=place, actor=account, now=now)
            return _thank(request, day, [first.sign_up])
    return render(request, "workdays/sign_up.html", {"form": form, "day": day})


def _thank(request: HttpRequest, day: WorkDay, signed_up: list[SignUp]) -> HttpResponse:
    waiting = sum(each.state == SignUp.State.WAITING for each in signed_up)
    if confirmed := len(signed_up) - waiting:
        text = ngettext(
            "You have a place. An invitation is on its way to your calendar.",
            "%(count)d places are yours. Invitations are on their way to your calendar.",
            confirmed,
        )
        messages.success(request, text % {"count": confirmed})
    if waiting:
        messages.info(request, _("The day is full: you are on the waiting list and hear from us when a place is free."))
    return redirect(day.get_public_url())


@require_POST
@login_required
def take_place(request: HttpRequest, code: str, sign_up: int) -> HttpResponse:
    """Say yes to a place that is offered, or take one that is free."""
    day, account = _shared_day(code), cast(Account, request.user)
    own = get_object_or_404(queries.own_sign_ups(day, account), pk=sign_up)
    waiting_list.take_place(sign_up=own, actor=account, now=timezone.now())
    messages.success(request, _("%(name)s has a place.") % {"name": own.member.name})
    return redirect(day.get_public_url())


@require_POST
@login_required
def withdraw(request: HttpRequest, code: str, sign_up: int) -> HttpResponse:
    day, account = _shared_day(code), cast(Account, request.user)
    own = get_object_or_404(queries.own_sign_ups(day, account), pk=sign_up)
    gone = services.withdraw(sign_up=own, actor=account, now=timezone.now())
    for each in gone:
        messages.success(request, _("%(name)s is withdrawn from the day.") % {"name": each.member.name})
    return redirect(day.get_public_url())
