"""The hours of a day: its lines, travel and preparation, and the approval that locks them."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.grants import services
from reedcrew.grants.forms.hours import ExtraHoursForm, ReopeningForm
from reedcrew.grants.queries.days import days_to_approve, lines_of_day, waiting_count
from reedcrew.grants.queries.lines import approvals_of
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays.models import WorkDay

DAYS_A_PAGE = 50


def fetch_day(request: GroupRequest, pk: int) -> WorkDay:
    """The day with this key in the request's group, or 404."""
    return get_object_or_404(WorkDay.objects.of_group(request.group).with_stand(), pk=pk)


@require_GET
@group_page(Deed.SEE_HOURS)
def approvals(request: GroupRequest) -> HttpResponse:
    days = days_to_approve(request.group)
    context = {
        "days": Paginator(days, DAYS_A_PAGE).get_page(request.GET.get("page")),
        "waiting": waiting_count(request.group),
    }
    return render(request, "grants/approvals.html", context)


@require_GET
@group_page(Deed.SEE_HOURS)
def day_hours(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    entries, told = list(lines_of_day(day)), approvals_of(day)
    context = {
        "day": day,
        "entries": entries,
        "minutes": sum(entry.minutes for entry in entries),
        "approvals": told,
        "approval": next((each for each in told if each.reopened_at is None), None),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
        "may_approve": request.member.may(Deed.APPROVE_HOURS),
    }
    return render(request, "grants/day_hours.html", context)


@require_POST
@group_page(Deed.APPROVE_HOURS)
def approve(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    try:
        services.approve_day(day=day, actor=request.user, now=timezone.now())
        messages.success(request, _("The hours of the day are approved and locked."))
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))
    return redirect("grants:day_hours", request.group.slug, day.pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.APPROVE_HOURS)
def reopen(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    form = ReopeningForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.reopen_day(day=day, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The day is open again. Approve it anew when it is right."))
            return redirect("grants:day_hours", request.group.slug, day.pk)
    return render(request, "grants/reopen.html", {"form": form, "day": day})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def add_hours(request: GroupRequest, pk: int) -> HttpResponse:
    """Travel and preparation for the day."""
    day = fetch_day(request, pk)
    initial = {"started_at": day.starts_at, "ended_at": day.starts_at}
    form = ExtraHoursForm(request.POST or None, request.FILES or None, day=day, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.enter_extra_hours(day=day, hours=form.hours(), actor=request.user, now=timezone.now())
            messages.success(request, _("Entered for %(number)d people.") % {"number": len(made)})
            return redirect("grants:day_hours", request.group.slug, day.pk)
    return render(request, "grants/add_hours.html", {"form": form, "day": day})
