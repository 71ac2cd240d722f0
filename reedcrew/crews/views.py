"""The plan of a day: pairs, roles, gear, and why."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from reedcrew.crews import queries, services
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.workdays.views import fetch_day


@require_GET
@group_page(Deed.PLAN_CREWS)
def plan(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    return render(request, "crews/plan.html", {"day": day, "sheet": queries.plan_sheet(day)})


@require_POST
@group_page(Deed.PLAN_CREWS)
def plan_now(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    services.ask_plannable(day=day, now=timezone.now())
    services.make_plan(day=day, actor=request.user, now=timezone.now())
    messages.success(request, _("The day is planned anew from its roster, depths and stock."))
    return redirect("crews:plan", request.group.slug, day.pk)
