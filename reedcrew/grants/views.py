"""The hours ledger, grants, and what a funder is given."""

from collections.abc import Callable, Iterator, Sequence

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.grants import queries, services
from reedcrew.grants.csv_export import csv_response
from reedcrew.grants.forms import CorrectionForm, GrantForm, SliceForm
from reedcrew.grants.models import Grant, HourEntry
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on

ENTRIES_A_PAGE = 50


@require_GET
@group_page(Deed.SEE_HOURS)
def hours(request: GroupRequest) -> HttpResponse:
    form = SliceForm(request.GET, group=request.group)
    if not form.is_valid():
        return render(request, "grants/hours.html", {"form": form})
    part = form.part()
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "form": form,
        "entries": Paginator(part.hours(), ENTRIES_A_PAGE).get_page(request.GET.get("page")),
        "sums": queries.sums_of(part),
        "query": query.urlencode(),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/hours.html", context)


def _csv(
    request: GroupRequest, name: str, head: Sequence[str], rows: Callable[[queries.Slice], Iterator[queries.Row]]
) -> HttpResponseBase:
    form = SliceForm(request.GET, group=request.group)
    if not form.is_valid():
        return render(request, "grants/hours.html", {"form": form}, status=400)
    return csv_response(f"{request.group.slug}-{name}", head, rows(form.part()))


@require_GET
@group_page(Deed.KEEP_GRANTS)
def hours_csv(request: GroupRequest) -> HttpResponseBase:
    return _csv(request, "hours", queries.HOURS_HEAD, queries.hours_rows)


@require_GET
@group_page(Deed.KEEP_GRANTS)
def stems_csv(request: GroupRequest) -> HttpResponseBase:
    return _csv(request, "stems", queries.STEMS_HEAD, queries.stems_rows)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def correct(request: GroupRequest, pk: int) -> HttpResponse:
    entry = get_object_or_404(HourEntry.objects.of_group(request.group).for_list(), pk=pk)
    initial = {"started_at": entry.started_at, "ended_at": entry.ended_at}
    form = CorrectionForm(request.POST or None, entry=entry, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.correct_entry(entry=entry, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The correction is a new entry; the old one stays readable."))
            return redirect("grants:hours", request.group.slug)
    return render(request, "grants/correct.html", {"form": form, "entry": entry})


@require_GET
@group_page(Deed.SEE_HOURS)
def grants(request: GroupRequest) -> HttpResponse:
    shown = Grant.objects.filter(group=request.group).with_sums()
    return render(request, "grants/grants.html", {"grants": shown, "may_keep": request.member.may(Deed.KEEP_GRANTS)})


@require_GET
@group_page(Deed.SEE_HOURS)
def grant(request: GroupRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(Grant, group=request.group, pk=pk)
    context = {
        "grant": shown,
        "stands": shown.stands.select_related("site"),
        "sums": queries.sums_of(queries.Slice(group=request.group, grant=shown)),
        "unclaimed": queries.unclaimed(shown),
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
    shown = get_object_or_404(Grant, group=request.group, pk=pk)
    form = GrantForm(request.POST or None, instance=shown, group=request.group)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_grant(grant=shown, facts=form.facts(), actor=request.user, now=timezone.now())
            messages.success(request, _("The grant is changed."))
            return redirect("grants:grant", request.group.slug, shown.pk)
    return render(request, "grants/edit_grant.html", {"form": form, "grant": shown})


@require_POST
@group_page(Deed.KEEP_GRANTS)
def claim(request: GroupRequest, pk: int) -> HttpResponse:
    """Count all eligible unclaimed hours toward the grant."""
    shown = get_object_or_404(Grant, group=request.group, pk=pk)
    count = services.claim_eligible(grant=shown, actor=request.user, now=timezone.now())
    text = ngettext("%(count)d entry now counts toward it.", "%(count)d entries now count toward it.", count)
    messages.success(request, text % {"count": count})
    return redirect("grants:grant", request.group.slug, shown.pk)
