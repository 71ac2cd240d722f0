"""The page of a work day that can be shared, and signing up from it."""

from collections.abc import Sequence
from typing import cast

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.people.home import Panel
from reedcrew.people.mailed_codes import ask_for_code
from reedcrew.people.models import Account, Member
from reedcrew.web.errors import refusals_on
from reedcrew.workdays import newcomers, queries, second_thoughts, services, waiting_list
from reedcrew.workdays.forms import FirstSignUpForm, SignUpForm, StrangerSignUpForm
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.my_day import MyDay, panels_of
from reedcrew.workdays.own import by_day, past_days_of

SIGN_UPS_A_PAGE = 50


def _shared_day(code: str) -> WorkDay:
    return get_object_or_404(WorkDay.objects.with_stand(), share_code=code)


@require_GET
def public_day(request: HttpRequest, code: str) -> HttpResponse:
    """What anybody with the address may know. Only to the signed-in reader it adds the reader's own sign-ups."""
    return _day_page(request, _shared_day(code))


def _day_page(request: HttpRequest, day: WorkDay, form: StrangerSignUpForm | None = None) -> HttpResponse:
    now = timezone.now()
    may_sign_up = day.is_open and not day.has_ended(now)
    if form is None and may_sign_up and not request.user.is_authenticated:
        form = StrangerSignUpForm(day=day)
    places = queries.places_of(day)
    own: Sequence[queries.OwnSignUp] = ()
    panels: Sequence[Panel] = ()
    back: Sequence[second_thoughts.GivenBack] = ()
    if isinstance(request.user, Account):
        own = queries.own_lines(day, request.user, places, now)
        standing = [line.sign_up for line in own]
        panels = panels_of(MyDay(day=day, account=request.user, own=standing, now=now))
        back = second_thoughts.given_back(day, request.user, standing, places) if may_sign_up else ()
    context = {
        "day": day,
        "site": day.stand.site,
        "group": day.group,
        "places": places,
        "is_full": not any(kind.free for kind in places),
        "season": queries.season_warnings(day),
        "own": own,
        "given_back": back,
        "more": bool(own) and may_sign_up and bool(queries.sign_up_choices(day, cast(Account, request.user))),
        "panels": panels,
        "may_sign_up": may_sign_up,
        "form": form if may_sign_up else None,
    }
    return render(request, "workdays/public_day.html", context)


@require_http_methods(["GET", "POST"])
def sign_up(request: HttpRequest, code: str) -> HttpResponse:
    """Without an account the answers come first and the code second; with one the page asks what is left to ask."""
    day = _shared_day(code)
    if not isinstance(request.user, Account):
        return _sign_up_stranger(request, day) if request.method == "POST" else _day_page(request, day)
    members = queries.sign_up_choices(day, request.user)
    is_among_them = any(member.account_id == request.user.pk for member in members)
    if is_among_them or Member.objects.current().of_account(request.user).filter(group=day.group).exists():
        return _sign_up_members(request, day, members, request.user)
    return _sign_up_newcomer(request, day, request.user)


def _sign_up_stranger(request: HttpRequest, day: WorkDay) -> HttpResponse:
    form = StrangerSignUpForm(request.POST, day=day)
    if form.is_valid():
        now = timezone.now()
        with refusals_on(form):
            day.ask_open(now)
            if to_code := ask_for_code(request, form, then=day.get_public_url()):
                known = {name: form.cleaned_data[name] for name in ("name", "email", "place")}
                newcomers.keep(request.session, day=day, now=now, **known)
                messages.info(request, _("One step is left: the code that we mailed you makes the place yours."))
                return to_code
    return _day_page(request, day, form)


def _sign_up_members(request: HttpRequest, day: WorkDay, members: list[Member], account: Account) -> HttpResponse:
    if not members:
        return redirect(day.get_public_url())
    form = SignUpForm(request.POST or None, day=day, members=members)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            family = services.sign_up_family(day=day, chosen=form.chosen(), actor=account, now=timezone.now())
            newcomers.thank(request, [each.sign_up for each in family])
            return redirect(day.get_public_url())
    return render(request, "workdays/sign_up.html", {"form": form, "day": day})


def _sign_up_newcomer(request: HttpRequest, day: WorkDay, account: Account) -> HttpResponse:
    form = FirstSignUpForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            known = {name: form.cleaned_data[name] for name in ("name", "place")}
            first = services.sign_up_newcomer(day=day, account=account, now=timezone.now(), **known)
            newcomers.thank(request, [first.sign_up])
            return redirect(day.get_public_url())
    return render(request, "workdays/sign_up.html", {"form": form, "day": day})


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
    services.withdraw(sign_up=own, actor=account, now=timezone.now())
    return redirect(day.get_public_url())  # which says that they are withdrawn, and whether the place is still free


@require_POST
@login_required
def come_after_all(request: HttpRequest, code: str, sign_up: int) -> HttpResponse:
    """Take back that somebody can't come."""
    day, account = _shared_day(code), cast(Account, request.user)
    gone = get_object_or_404(second_thoughts.withdrawn_in_care(day, account), pk=sign_up)
    newcomers.thank(request, second_thoughts.come_after_all(sign_up=gone, actor=account, now=timezone.now()))
    return redirect(day.get_public_url())


@require_GET
@login_required
def my_days(request: HttpRequest) -> HttpResponse:
    """Where the reader and the reader's children are expected, and where they were, in every group."""
    account, now = cast(Account, request.user), timezone.now()
    past = Paginator(past_days_of(account, now), SIGN_UPS_A_PAGE).get_page(request.GET.get("page"))
    context = {"coming": by_day(queries.next_days_of(account, now)), "past": by_day(past), "page": past}
    return render(request, "workdays/my_days.html", context)
