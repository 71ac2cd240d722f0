"""Pages of gauges and their readings."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands import services
from reedcrew.stands.forms import ChangeGaugeForm, GaugeForm, LevelForm, LevelRowsForm, sent_twice, values_of
from reedcrew.stands.models import WaterLevel
from reedcrew.stands.views.sites import fetch_site
from reedcrew.web.errors import refusals_on

LEVELS_A_PAGE = 50


@require_GET
@group_page(Deed.SEE_GROUP)
def levels(request: GroupRequest, pk: int) -> HttpResponse:
    """Every reading of a site, the latest first, and its gauges."""
    shown = fetch_site(request, pk)
    readings = WaterLevel.objects.filter(gauge__site=shown).select_related("gauge")
    context = {
        "site": shown,
        "gauges": shown.gauges.all(),
        "page": Paginator(readings, LEVELS_A_PAGE).get_page(request.GET.get("page")),
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/levels.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_gauge(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    now = timezone.now()
    form = GaugeForm(request.POST or None, initial={"since": now.astimezone(shown.zone_info).date()})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_gauge(site=shown, actor=request.user, now=now, **form.cleaned_data)
            messages.success(request, _("The gauge “%(name)s” is recorded.") % {"name": made.name})
            return redirect("stands:levels", request.group.slug, shown.pk)
    context = {"form": form, "site": shown, "in_use": shown.gauges.in_use().first()}
    return render(request, "stands/record_gauge.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def change_gauge(request: GroupRequest, pk: int, gauge: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    gauges = shown.gauges.select_related("site__group")
    row = get_object_or_404(gauges, pk=gauge)
    form = ChangeGaugeForm(
        request.POST or None, instance=get_object_or_404(gauges, pk=gauge), current_version=row.version
    )
    if sent_twice(form):
        return redirect("stands:levels", request.group.slug, shown.pk)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_gauge(gauge=row, actor=request.user, now=timezone.now(), **values_of(form))
            messages.success(request, _("The gauge “%(name)s” is saved.") % {"name": form.cleaned_data["name"]})
            return redirect("stands:levels", request.group.slug, shown.pk)
    return render(request, "stands/change_gauge.html", {"form": form, "site": shown, "gauge": row})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_water_level(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    now = timezone.now()
    form = LevelForm(request.POST or None, site=shown, now=now)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_water_level(site=shown, actor=request.user, now=now, **form.cleaned_data)
            messages.success(request, _("The gauge level is recorded. Depths follow the latest reading."))
            return redirect(shown)
    context = {"form": form, "site": shown, "in_use": shown.gauges.in_use().first()}
    return render(request, "stands/record_water_level.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_levels(request: GroupRequest, pk: int) -> HttpResponse:
    """Readings pasted or from a file: all are kept, or none."""
    shown = fetch_site(request, pk)
    in_use = shown.gauges.in_use().first()
    now = timezone.now()
    form = LevelRowsForm(request.POST or None, request.FILES or None, site=shown, now=now, initial={"gauge": in_use})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            gauge, rows = form.cleaned_data["gauge"], form.cleaned_data["rows"]
            kept = services.record_levels(gauge=gauge, rows=rows, actor=request.user, now=now)
            said = ngettext("%(count)d new reading is kept.", "%(count)d new readings are kept.", kept.new)
            messages.success(request, said % {"count": kept.new})
            if kept.known:
                again = ngettext(
                    "%(count)d was kept before or came twice.", "%(count)d were kept before or came twice.", kept.known
                )
                messages.info(request, again % {"count": kept.known})
            return redirect("stands:levels", request.group.slug, shown.pk)
    return render(request, "stands/record_levels.html", {"form": form, "site": shown, "in_use": in_use})
