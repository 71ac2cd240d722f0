"""The hours ledger, grants, and what a funder is given."""

from collections.abc import Callable, Iterator, Sequence

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.grants import services
from reedcrew.grants.csv_export import csv_response
from reedcrew.grants.forms.hours import CorrectionForm, SliceForm
from reedcrew.grants.models import HourEntry
from reedcrew.grants.queries import ledger
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
        "sums": ledger.sums_of(part),
        "query": query.urlencode(),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/hours.html", context)


def _csv(
    request: GroupRequest, name: str, head: Sequence[str], rows: Callable[[ledger.Slice], Iterator[ledger.Row]]
) -> HttpResponseBase:
    form = SliceForm(request.GET, group=request.group)
    if not form.is_valid():
        return render(request, "grants/hours.html", {"form": form}, status=400)
    return csv_response(f"{request.group.slug}-{name}", head, rows(form.part()))


@require_GET
@group_page(Deed.KEEP_GRANTS)
def hours_csv(request: GroupRequest) -> HttpResponseBase:
    return _csv(request, "hours", ledger.HOURS_HEAD, ledger.hours_rows)


@require_GET
@group_page(Deed.KEEP_GRANTS)
def stems_csv(request: GroupRequest) -> HttpResponseBase:
    return _csv(request, "stems", ledger.STEMS_HEAD, ledger.stems_rows)


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
