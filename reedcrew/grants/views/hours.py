"""The hours ledger: its list, one entry with its history, corrections, and which grant counts it."""

from collections.abc import Callable, Iterator, Sequence

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.grants import services
from reedcrew.grants.csv_export import csv_response
from reedcrew.grants.forms.hours import ClaimForm, CorrectionForm, ReleaseForm, SliceForm
from reedcrew.grants.models import HourEntry
from reedcrew.grants.queries import ledger
from reedcrew.grants.queries.lines import history_of
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on

ENTRIES_A_PAGE = 50


def fetch_entry(request: GroupRequest, pk: int) -> HourEntry:
    """The entry with this key in the request's group, or 404."""
    return get_object_or_404(HourEntry.objects.of_group(request.group).for_list(), pk=pk)


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
        "entries": Paginator(part.hours().with_approval(), ENTRIES_A_PAGE).get_page(request.GET.get("page")),
        "sums": ledger.sums_of(part),
        "query": query.urlencode(),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
        "may_import": request.member.may(Deed.IMPORT_EARLIER),
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
@group_page(Deed.SEE_HOURS)
def entry(request: GroupRequest, pk: int) -> HttpResponse:
    """One entry and all that was said of it; a post counts it toward a grant."""
    shown = fetch_entry(request, pk)
    may_keep = request.member.may(Deed.KEEP_GRANTS)
    form = ClaimForm(request.POST or None, group=request.group)
    if request.method == "POST" and may_keep and form.is_valid():
        with refusals_on(form):
            chosen = form.cleaned_data["grant"]
            services.claim_entry(grant=chosen, entry=shown, actor=request.user, now=timezone.now())
            messages.success(request, _("The entry counts toward %(grant)s.") % {"grant": chosen.name})
            return redirect("grants:entry", request.group.slug, shown.pk)
    context = {"form": form, "entry": shown, "history": history_of(shown), "may_keep": may_keep}
    return render(request, "grants/entry.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def correct(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_entry(request, pk)
    initial = {name: getattr(shown, name) for name in ("started_at", "ended_at", "role", "activity")}
    form = CorrectionForm(request.POST or None, entry=shown, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.correct_entry(entry=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The correction is a new entry; the old one stays readable."))
            return redirect("grants:entry", request.group.slug, made.pk)
    return render(request, "grants/correct.html", {"form": form, "entry": shown, "history": history_of(shown)})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def release(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_entry(request, pk)
    form = ReleaseForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.release_claim(entry=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The entry counts toward no grant any more."))
            return redirect("grants:entry", request.group.slug, shown.pk)
    return render(request, "grants/release.html", {"form": form, "entry": shown})


@require_GET
@group_page(Deed.SEE_HOURS)
def evidence(request: GroupRequest, pk: int) -> FileResponse:
    """The file that shows an entry, as a download that no browser runs."""
    shown = fetch_entry(request, pk)
    if not shown.evidence_file:
        raise Http404
    name = shown.evidence_file.name.rpartition("/")[2]
    try:
        answer = FileResponse(shown.evidence_file.open("rb"), as_attachment=True, filename=f"evidence-{pk}-{name}")
    except FileNotFoundError as error:
        raise Http404 from error
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer
