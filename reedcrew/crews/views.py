"""The plan of a day as the bench of those who make it: pairs, roles, gear, and why; pins, what-ifs, accepting."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from reedcrew.crews import queries, services
from reedcrew.crews.forms import PinForm, WhatIfForm
from reedcrew.crews.models import ROLES, PlanDue
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.queries import marks_of
from reedcrew.workdays.views import fetch_day

TRY = "try"  # the button of the pin form that stores nothing


@require_GET
@group_page(Deed.PLAN_CREWS)
def plan(request: GroupRequest, pk: int) -> HttpResponse:
    """The bench; with the fields of the what-if form in the address, also what that would change.

    The page asks by htmx whether a plan that is being made is there.
    """
    day, now = fetch_day(request, pk), timezone.now()
    if "HX-Request" in request.headers:
        return render(request, "crews/_plan_due.html", {"due": PlanDue.objects.filter(day=day).exists()})
    form = WhatIfForm(request.GET if WhatIfForm.is_asked(request.GET) else None, group=request.group)
    supposed = None
    if form.is_bound and form.is_valid():
        services.ask_plannable(day=day, now=now)
        supposed = queries.suppose(day, now, changes=form.changes())
    return _bench(request, day, what_if=form, supposed=supposed)


@require_POST
@group_page(Deed.PLAN_CREWS)
def plan_now(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    services.ask_plannable(day=day, now=timezone.now())
    if services.plan_or_order(day=day, actor=request.user, now=timezone.now()) is not None:
        messages.success(request, _("The day is planned anew from its roster, depths and stock."))
    return redirect("crews:plan", request.group.slug, day.pk)


@require_POST
@group_page(Deed.PLAN_CREWS)
def accept(request: GroupRequest, pk: int, plan: int) -> HttpResponse:
    """Make a proposal what people are told; say who is told something new."""
    day = fetch_day(request, pk)
    proposal = get_object_or_404(day.plans.select_related("day__stand__site__group"), pk=plan)
    try:
        accepted = services.accept_plan(plan=proposal, actor=request.user, now=timezone.now())
        messages.success(request, _accepted(accepted))
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))
    return redirect("crews:plan", request.group.slug, day.pk)


@require_POST
@group_page(Deed.PIN_CREWS)
def pin(request: GroupRequest, pk: int) -> HttpResponse:
    """Pin something and plan anew, or only try what that would change."""
    day, now = fetch_day(request, pk), timezone.now()
    form = PinForm(request.POST, day=day)
    supposed = None
    if form.is_valid():
        with refusals_on(form):
            if request.POST.get("step") != TRY:
                services.pin(day=day, facts=form.facts(), actor=request.user, now=now)
                made = services.plan_or_order(day=day, actor=request.user, now=now)
                messages.success(
                    request, _("It is pinned, and the day is planned anew.") if made else _("It is pinned.")
                )
                return redirect("crews:plan", request.group.slug, day.pk)
            supposed = _try(request, day, form)
    return _bench(request, day, pins=form, supposed=supposed)


@require_POST
@group_page(Deed.PIN_CREWS)
def unpin(request: GroupRequest, pk: int, pin: int) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    services.unpin(day=day, pin_pk=pin, actor=request.user, now=now)
    made = services.plan_or_order(day=day, actor=request.user, now=now)
    text = _("The pin is taken back, and the day is planned anew.") if made else _("The pin is taken back.")
    messages.success(request, text)
    return redirect("crews:plan", request.group.slug, day.pk)


# --- Private ---------------------------------------------------------------------------------------------------------


def _try(request: GroupRequest, day: WorkDay, form: PinForm) -> queries.Supposed:
    now = timezone.now()
    services.ask_plannable(day=day, now=now)
    wanted = services.row_of(day, form.facts(), request.user, now)
    services.ask_allowed(wanted, now)
    return queries.suppose(day, now, pin=wanted)


def _bench(
    request: GroupRequest,
    day: WorkDay,
    *,
    what_if: WhatIfForm | None = None,
    pins: PinForm | None = None,
    supposed: queries.Supposed | None = None,
) -> HttpResponse:
    bench = queries.bench(day, timezone.now(), proposal="proposal" in request.GET)
    may_pin = request.member.may(Deed.PIN_CREWS)
    context: dict[str, Any] = {
        "day": day,
        "bench": bench,
        "roles": ROLES,
        "sheet": bench.sheet,
        "may_pin": may_pin,
        "pin_form": (pins or PinForm(day=day)) if may_pin else None,
        "marks": marks_of(day),
        "may_post": request.member.may(Deed.POST_DAY),
        "what_if": what_if or WhatIfForm(group=request.group),
        "supposed": supposed,
        "tries_pin": supposed is not None and pins is not None,
    }
    return render(request, "crews/plan.html", context)


def _accepted(accepted: services.Accepted) -> str:
    if accepted.changes is None:
        return _("The plan is accepted. Everybody now reads their own place in it.")
    count = len(accepted.changes.people)
    return ngettext(
        "The change is accepted. %(count)d person is told something new: see below who.",
        "The change is accepted. %(count)d people are told something new: see below who.",
        count,
    ) % {"count": count}
