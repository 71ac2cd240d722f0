"""A grant's report as a page, and the files that are made of it."""

import hashlib

from django.contrib import messages
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.cache import get_conditional_response, patch_cache_control
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST, require_safe

from reedcrew.grants.forms.reports import ExportForm, PeriodForm
from reedcrew.grants.models import ExportJob, Grant
from reedcrew.grants.reports import Report, make_report
from reedcrew.grants.reports.charts import CHARTS, parts_of
from reedcrew.grants.reports.words import after_the_sun, evidence, methods, notes
from reedcrew.grants.services import exports
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.charts import Theme, draw
from reedcrew.web.errors import refusals_on

EXPORT_IDS = "export_%s"  # of its fields: the period stands on the page twice
JOBS_SHOWN = 10
MEDIA_TYPES = {
    ".pdf": "application/pdf",
    ".csv": "text/csv; charset=utf-8",
    ".zip": "application/zip",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def fetch_grant(request: GroupRequest, pk: int) -> Grant:
    """The group's grant with this key, or 404."""
    return get_object_or_404(Grant.objects.select_related("group"), group=request.group, pk=pk)


@require_GET
@group_page(Deed.SEE_HOURS)
def report(request: GroupRequest, pk: int) -> HttpResponse:
    """The report for a period; without one, for the whole grant."""
    grant = fetch_grant(request, pk)
    form = _period(request, grant)
    context = {"grant": grant, "form": form, "may_keep": request.member.may(Deed.KEEP_GRANTS)}
    if not form.is_valid():
        return render(request, "grants/report.html", context)
    made = _made(grant, form)
    context |= {
        "report": made,
        "parts": parts_of(made),
        "notes": notes(made),
        "methods": methods(made),
        "loads": [(load, after_the_sun(load)) for load in made.loads],
        "days": [(day, evidence(day)) for day in made.days],
        "map": made.map,
        "export_form": ExportForm(
            grant=grant, auto_id=EXPORT_IDS, initial={**form.cleaned_data, "form": ExportJob.Form.PAPER}
        ),
        "jobs": ExportJob.objects.filter(grant=grant)[:JOBS_SHOWN],
        "query": f"first={made.scope.first}&last={made.scope.last}",
    }
    return render(request, "grants/report.html", context)


@require_GET
@group_page(Deed.SEE_HOURS)
def report_chart(request: GroupRequest, pk: int, chart: str, theme: str) -> HttpResponse:
    """One chart as SVG. Unchanged figures answer 304 without drawing."""
    if chart not in CHARTS or theme not in set(Theme):
        raise Http404
    grant = fetch_grant(request, pk)
    form = _period(request, grant)
    if not form.is_valid():
        raise Http404
    shown = CHARTS[chart](_made(grant, form))
    etag = f'"{hashlib.sha256(f"{shown} {theme} {get_language()}".encode()).hexdigest()[:32]}"'
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        answer = HttpResponse(draw(shown, Theme(theme)), content_type="image/svg+xml", headers={"ETag": etag})
    patch_cache_control(answer, private=True, no_cache=True)
    return answer


@require_POST
@group_page(Deed.KEEP_GRANTS)
def order_export(request: GroupRequest, pk: int) -> HttpResponse:
    """Ask for a file of the report."""
    grant = fetch_grant(request, pk)
    form = ExportForm(request.POST, grant=grant, auto_id=EXPORT_IDS)
    if form.is_valid():
        with refusals_on(form):
            job = exports.order_export(grant=grant, actor=request.user, now=timezone.now(), **form.cleaned_data)
            return redirect(job)
    context = {"grant": grant, "export_form": form, "form": PeriodForm(grant=grant, initial=request.POST.dict())}
    return render(request, "grants/report.html", {**context, "may_keep": True}, status=400)


@require_safe
@group_page(Deed.KEEP_GRANTS)
def export(request: GroupRequest, pk: int) -> HttpResponse:
    """How far a file is; its download once it is ready."""
    return render(request, "grants/export.html", {"job": _job(request, pk)})


@require_POST
@group_page(Deed.KEEP_GRANTS)
def retry_export(request: GroupRequest, pk: int) -> HttpResponse:
    """Make a file that failed again."""
    job = exports.retry_export(job=_job(request, pk), actor=request.user, now=timezone.now())
    messages.success(request, _("The file is made again."))
    return redirect(job)


@require_safe
@group_page(Deed.KEEP_GRANTS)
def export_file(request: GroupRequest, pk: int) -> FileResponse:
    """The file, for those of the group who keep its grants."""
    job = _job(request, pk)
    if job.state != ExportJob.State.DONE:
        raise Http404
    try:
        file = job.file.open("rb")
    except FileNotFoundError as error:
        raise Http404 from error
    answer = FileResponse(file, as_attachment=True, filename=job.file_name, content_type=MEDIA_TYPES[job.suffix])
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer


def _job(request: GroupRequest, pk: int) -> ExportJob:
    of_group = ExportJob.objects.of_group(request.group).select_related("grant", "group")
    return get_object_or_404(of_group, pk=pk)


def _period(request: GroupRequest, grant: Grant) -> PeriodForm:
    whole = {"first": grant.starts_on, "last": grant.ends_on}
    asked = {name: request.GET[name] for name in whole if name in request.GET}
    return PeriodForm({**whole, **asked}, grant=grant)


def _made(grant: Grant, form: PeriodForm) -> Report:
    days = form.cleaned_data
    return make_report(grant, first=days["first"], last=days["last"], at=timezone.now())
