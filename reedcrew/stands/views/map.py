"""The map of a group: as a page, as data, as a file to take away, and taking over what others drew."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import ImportForm, OutlineForm, sent_twice
from reedcrew.stands.live_map import live_map
from reedcrew.stands.models import Site
from reedcrew.stands.views.sites import fetch_site
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.web.errors import refusals_on

STANDS_A_PAGE = 25


@require_GET
@group_page(Deed.SEE_GROUP)
def group_map(request: GroupRequest) -> HttpResponse:
    """The whole group: a page of stands as drawing and table; the live map has them all."""
    page = Paginator(queries.stands_on_map(request.group), STANDS_A_PAGE).get_page(request.GET.get("page"))
    without = Site.objects.of_group(request.group).filter(stands=None) if page.number == 1 else ()
    context = {
        "map": queries.stands_map(page, policy_of(request.group), timezone.now(), without),
        "live": live_map(request.group),
        "page": page,
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/map.html", context)


def _streamed(request: GroupRequest) -> StreamingHttpResponse:
    parts = {name: _key(request, name) for name in ("site", "stand")}
    found = queries.features(request.group, policy_of(request.group), timezone.now(), **parts)
    return StreamingHttpResponse(
        queries.collection_text(found),
        content_type=queries.MEDIA_TYPE,
        headers={"Cache-Control": "private, no-store"},
    )


def _key(request: GroupRequest, name: str) -> int | None:
    """The key of a row in the address; what is no key finds no row."""
    written = request.GET.get(name)
    if written is None:
        return None
    return int(written) if written.isascii() and written.isdigit() and len(written) < 19 else 0


@require_GET
@group_page(Deed.SEE_GROUP)
def map_data(request: GroupRequest) -> StreamingHttpResponse:
    """What the live map shows."""
    return _streamed(request)


@require_GET
@group_page(Deed.SEE_GROUP)
def export_map(request: GroupRequest) -> StreamingHttpResponse:
    """The same as a file to take away."""
    response = _streamed(request)
    response["Content-Disposition"] = f'attachment; filename="{request.group.slug}-stands.geojson"'
    return response


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def import_map(request: GroupRequest) -> HttpResponse:
    """Look at what a collection would do, then do it: all of it or nothing."""
    now = timezone.now()
    sent = request.method == "POST"
    form = ImportForm(request.POST if sent else None, request.FILES or None, group=request.group, this_year=now.year)
    shown = False
    if sent and form.is_valid():
        act = services.take_over if form.is_confirmed else services.rehearse
        with refusals_on(form):
            act(group=request.group, takeover=form.takeover, actor=request.user, now=now)
            if form.is_confirmed:
                count = len(form.takeover.changes)
                said = ngettext("%(count)s feature is taken over.", "%(count)s features are taken over.", count)
                messages.success(request, said % {"count": count})
                return redirect("stands:map", request.group.slug)
            shown = True
    return render(request, "stands/import_map.html", {"form": form, "takeover": form.takeover if shown else None})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def draw_stand(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    live = live_map(request.group, site=shown.site_id)
    form = OutlineForm(request.POST or None, row=fetch_stand(request, pk), live=live)
    if sent_twice(form):
        return redirect(shown)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.draw_outline(row=shown, actor=request.user, now=timezone.now(), **form.drawn())
            messages.success(request, _("The outline of “%(name)s” is saved.") % {"name": shown.name})
            return redirect(shown)
    return render(request, "stands/draw_stand.html", {"form": form, "stand": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def draw_site(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    live = live_map(request.group, site=shown.pk)
    form = OutlineForm(request.POST or None, row=fetch_site(request, pk), live=live)
    if sent_twice(form):
        return redirect(shown)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.draw_outline(row=shown, actor=request.user, now=timezone.now(), **form.drawn())
            messages.success(request, _("The boundary of “%(name)s” is saved.") % {"name": shown.name})
            return redirect(shown)
    return render(request, "stands/draw_site.html", {"form": form, "site": shown})
