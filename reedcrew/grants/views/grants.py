"""Grants, their families and reporting dates, and what counts toward them."""

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.grants import services
from reedcrew.grants.forms.grants import FamilyForm, GrantForm, ReportingDateForm
from reedcrew.grants.models import ACTIVITIES, KINDS, Family, Grant, ReportingDate
from reedcrew.grants.queries import ledger
from reedcrew.grants.queries.days import eligible_days, overlapping
from reedcrew.grants.queries.progress import lacks_of, next_report, progress_of
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.models import WorkDay

DAYS_A_PAGE = 50


def words_of(choices: Sequence[tuple[str, Any]], values: Sequence[str]) -> str:
    """The chosen values in words, one after another."""
    return ", ".join(str(word) for value, word in choices if value in values)


def fetch_grant(request: GroupRequest, pk: int) -> Grant:
    """The grant with this key in the request's group, or 404."""
    return get_object_or_404(Grant.objects.select_related("group", "family"), group=request.group, pk=pk)


def fetch_reporting_date(request: GroupRequest, pk: int, date: int) -> ReportingDate:
    """The reporting date with this key of a grant of the request's group, or 404."""
    dates = ReportingDate.objects.select_related("grant__group")
    return get_object_or_404(dates, grant=fetch_grant(request, pk), pk=date)


@require_GET
@group_page(Deed.SEE_HOURS)
def grants(request: GroupRequest) -> HttpResponse:
    context = {
        "grants": Grant.objects.filter(group=request.group).select_related("family").with_sums().with_next_report(),
        "families": Family.objects.filter(group=request.group),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/grants.html", context)


@require_GET
@group_page(Deed.SEE_HOURS)
def grant(request: GroupRequest, pk: int) -> HttpResponse:
    shown, now = fetch_grant(request, pk), timezone.now()
    progress, report = progress_of(shown, now), next_report(shown)
    context = {
        "grant": shown,
        "stands": shown.stands.select_related("site__group"),
        "sums": ledger.sums_of(ledger.Slice(group=request.group, grant=shown)),
        "progress": progress,
        "share_percent": None if progress.forecast.share is None else progress.forecast.share * 100,
        "kinds": words_of(KINDS, shown.kinds),
        "activities": words_of(ACTIVITIES, shown.activities),
        "report": report,
        "lacks": list(lacks_of(shown, report, progress, now)) if report else [],
        "dates": shown.reporting_dates.all(),
        "overlapping": overlapping(shown),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/grant.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def new_grant(request: GroupRequest) -> HttpResponse:
    form = GrantForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_grant(
                group=request.group, facts=form.facts(), actor=request.user, now=timezone.now()
            )
            messages.success(request, _("The grant is recorded."))
            return redirect("grants:grant", request.group.slug, made.pk)
    return render(request, "grants/edit_grant.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def edit_grant(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_grant(request, pk)
    form = GrantForm(request.POST or None, instance=fetch_grant(request, pk), group=request.group)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_grant(grant=shown, facts=form.facts(), actor=request.user, now=timezone.now())
            messages.success(request, _("The grant is changed."))
            return redirect("grants:grant", request.group.slug, shown.pk)
    return render(request, "grants/edit_grant.html", {"form": form, "grant": shown})


@require_GET
@group_page(Deed.SEE_HOURS)
def claims(request: GroupRequest, pk: int) -> HttpResponse:
    """Which hours the grant can count, by work day, and which grants count them."""
    shown = fetch_grant(request, pk)
    days = eligible_days(shown)
    context = {
        "grant": shown,
        "days": Paginator(days, DAYS_A_PAGE).get_page(request.GET.get("page")),
        "unclaimed": sum(day.unclaimed.entries for day in days),
        "overlapping": overlapping(shown),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/claims.html", context)


@require_POST
@group_page(Deed.KEEP_GRANTS)
def claim(request: GroupRequest, pk: int) -> HttpResponse:
    """Count eligible unclaimed hours toward the grant: all, or those of the day that the form names."""
    shown = fetch_grant(request, pk)
    day = request.POST.get("day", "")
    days = None
    if day:
        days = [get_object_or_404(WorkDay.objects.of_group(request.group), pk=day if day.isdigit() else 0)]
    count = services.claim_eligible(grant=shown, days=days, actor=request.user, now=timezone.now())
    text = ngettext("%(count)d entry now counts toward it.", "%(count)d entries now count toward it.", count)
    messages.success(request, text % {"count": count})
    return redirect("grants:claims" if day else "grants:grant", request.group.slug, shown.pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def add_reporting_date(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_grant(request, pk)
    form = ReportingDateForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.add_reporting_date(grant=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The reporting date is kept."))
            return redirect("grants:grant", request.group.slug, shown.pk)
    return render(request, "grants/reporting_date.html", {"form": form, "grant": shown})


@require_POST
@group_page(Deed.KEEP_GRANTS)
def report_sent(request: GroupRequest, pk: int, date: int) -> HttpResponse:
    row = fetch_reporting_date(request, pk, date)
    if "back" in request.POST:
        services.take_back_report_sent(date=row, actor=request.user, now=timezone.now())
        messages.success(request, _("The report is due again."))
    else:
        services.mark_report_sent(date=row, actor=request.user, now=timezone.now())
        messages.success(request, _("The report is marked as sent."))
    return redirect("grants:grant", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_GRANTS)
def remove_reporting_date(request: GroupRequest, pk: int, date: int) -> HttpResponse:
    row = fetch_reporting_date(request, pk, date)
    services.remove_reporting_date(date=row, actor=request.user, now=timezone.now())
    messages.success(request, _("The reporting date is removed."))
    return redirect("grants:grant", request.group.slug, pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def new_family(request: GroupRequest) -> HttpResponse:
    form = FamilyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_family(group=request.group, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The family is recorded. Choose it on its grants."))
            return redirect("grants:grants", request.group.slug)
    return render(request, "grants/edit_family.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def edit_family(request: GroupRequest, pk: int) -> HttpResponse:
    family = get_object_or_404(Family.objects.select_related("group"), group=request.group, pk=pk)
    form = FamilyForm(request.POST or None, initial={"name": family.name, "note": family.note})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_family(family=family, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The family is changed."))
            return redirect("grants:grants", request.group.slug)
    return render(request, "grants/edit_family.html", {"form": form, "family": family})
