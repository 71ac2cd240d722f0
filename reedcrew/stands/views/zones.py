"""Pages of zones."""

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import (
    ChangeZoneForm,
    ZoneForm,
    sent_twice,
    values_of,
)
from reedcrew.stands.models import Stand, Zone
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.web.errors import refusals_on


def zones_of(stand: Stand) -> "QuerySet[Zone]":
    """The zones of a stand that was fetched for the request, each with stand, site and group."""
    return stand.zones.select_related("stand", "stand__site", "stand__site__group")


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_zone(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    form = ZoneForm(request.POST or None, site=shown.site, stand=shown)
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
        stand=shown,
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
    """Remove at once: the stand's page offers to take it back. A second press finds the zone gone and says so."""
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


@require_POST
@group_page(Deed.KEEP_STANDS)
def put_back_zone(request: GroupRequest, pk: int, zone: int) -> HttpResponse:
    """Take the removal of a zone back; a second press finds it there and changes nothing."""
    shown = fetch_stand(request, pk)
    if zones_of(shown).filter(pk=zone).exists():
        return redirect(shown)
    removal = queries.removals_of(shown).filter(subject=f"{Zone._meta.label}:{zone}").first()
    if removal is None:
        raise Http404
    back = services.put_back_zone(stand=shown, removal=removal, actor=request.user, now=timezone.now())
    messages.success(request, _("The zone “%(name)s” is back, as it was.") % {"name": back.name})
    return redirect(shown)
