"""Pages of stands and their zones."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import (
    ChangeStandForm,
    ChangeZoneForm,
    CheckForm,
    ZoneForm,
    sent_twice,
    values_of,
)
from reedcrew.stands.models import Site, Stand, Zone
from reedcrew.web.errors import refusals_on

ROWS_A_PAGE = 25


def fetch_stand(request: GroupRequest, pk: int) -> Stand:
    """The stand with this key in the request's group, or 404."""
    return get_object_or_404(Stand.objects.of_group(request.group).select_related("site", "site__group"), pk=pk)


def zones_of(stand: Stand) -> "QuerySet[Zone]":
    """The zones of a stand that was fetched for the request, each with stand, site and group."""
    return stand.zones.select_related("stand", "stand__site", "stand__site__group")


@require_GET
@group_page(Deed.SEE_GROUP)
def stands(request: GroupRequest) -> HttpResponse:
    listed = Stand.objects.of_group(request.group).for_list()
    page = Paginator(listed, ROWS_A_PAGE).get_page(request.GET.get("page"))
    sites = Paginator(Site.objects.of_group(request.group).for_list(), ROWS_A_PAGE).get_page(request.GET.get("sites"))
    context = {
        "page": page,
        "rows": queries.stand_rows(page, policy_of(request.group), timezone.now()),
        "sites": sites,
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/stands.html", context)


@require_GET
@group_page(Deed.SEE_GROUP)
def stand(request: GroupRequest, pk: int) -> HttpResponse:
    page = queries.stand_page(fetch_stand(request, pk), policy_of(request.group), timezone.now())
    context = {"page": page, "stand": page.stand, "may_keep": request.member.may(Deed.KEEP_STANDS)}
    return render(request, "stands/stand.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def change_stand(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    now = timezone.now()
    form = ChangeStandForm(
        request.POST or None,
        instance=fetch_stand(request, pk),
        this_year=now.astimezone(shown.site.zone_info).year,
        current_version=shown.version,
    )
    if sent_twice(form):
        return redirect(shown)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_stand(stand=shown, actor=request.user, now=now, **values_of(form))
            messages.success(request, _("“%(name)s” is saved.") % {"name": form.cleaned_data["name"]})
            return redirect(shown)
    return render(request, "stands/change_stand.html", {"form": form, "stand": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_check(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    now = timezone.now()
    initial = {"checked_on": now.astimezone(shown.site.zone_info).date()}
    form = CheckForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_check(stand=shown, actor=request.user, now=now, **form.cleaned_data)
            messages.success(
                request,
                _("The check is recorded. Work days can be posted on this stand.")
                if shown.may_be_cut
                else _("The check is recorded. The stand is protected: no work day can be posted on it."),
            )
            return redirect(shown)
    return render(request, "stands/record_check.html", {"form": form, "stand": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_zone(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    form = ZoneForm(request.POST or None, site=shown.site)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_zone(stand=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The zone “%(name)s” is recorded.") % {"name": made.name})
            return redirect(shown)
    return render(request, "stands/record_zone.html", {"form": form, "stand": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def change_zone(request: GroupRequest, pk: int, zone: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    row = get_object_or_404(zones_of(shown), pk=zone)
    form = ChangeZoneForm(
        request.POST or None,
        instance=get_object_or_404(zones_of(shown), pk=zone),
        site=shown.site,
        current_version=row.version,
    )
    if sent_twice(form):
        return redirect(shown)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_zone(zone=row, actor=request.user, now=timezone.now(), **values_of(form))
            messages.success(request, _("The zone “%(name)s” is saved.") % {"name": form.cleaned_data["name"]})
            return redirect(shown)
    return render(request, "stands/change_zone.html", {"form": form, "stand": shown, "zone": row})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def remove_zone(request: GroupRequest, pk: int, zone: int) -> HttpResponse:
    """Ask, then remove; a second press finds the zone gone and says so."""
    shown = fetch_stand(request, pk)
    row = zones_of(shown).filter(pk=zone).first()
    if row is None:
        messages.info(request, _("The zone is not there any more."))
        return redirect(shown)
    if request.method == "POST":
        services.remove_zone(zone=row, actor=request.user, now=timezone.now())
        messages.success(request, _("The zone “%(name)s” is removed.") % {"name": row.name})
        return redirect(shown)
    context = {"stand": shown, "zone": row, "uses": services.uses_of(row)}
    return render(request, "stands/remove_zone.html", context)
