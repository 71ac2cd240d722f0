"""Pages of sites: where a crew meets."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import ChangeSiteForm, SiteForm, StandForm, sent_twice, values_of
from reedcrew.stands.live_map import live_map
from reedcrew.stands.models import Site
from reedcrew.web.errors import refusals_on


def fetch_site(request: GroupRequest, pk: int) -> Site:
    """The site with this key in the request's group, or 404."""
    return get_object_or_404(Site.objects.of_group(request.group).select_related("group"), pk=pk)


@require_GET
@group_page(Deed.SEE_GROUP)
def site(request: GroupRequest, pk: int) -> HttpResponse:
    now, policy = timezone.now(), policy_of(request.group)
    page = queries.site_page(fetch_site(request, pk), policy, now)
    context = {
        "page": page,
        "site": page.site,
        "map": queries.stands_map((row.stand for row in page.stands), policy, now, [page.site]),
        "live": live_map(request.group, site=page.site.pk),
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/site.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_site(request: GroupRequest) -> HttpResponse:
    last = Site.objects.of_group(request.group).order_by("-pk").first()
    form = SiteForm(request.POST or None, initial={"time_zone": last.time_zone} if last else None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_site(
                group=request.group, actor=request.user, now=timezone.now(), **form.cleaned_data
            )
            messages.success(request, _("“%(name)s” is recorded. Now add its stands.") % {"name": made.name})
            return redirect("stands:record_stand", request.group.slug, made.pk)
    return render(request, "stands/record_site.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def change_site(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    form = ChangeSiteForm(request.POST or None, instance=fetch_site(request, pk), current_version=shown.version)
    if sent_twice(form):
        return redirect(shown)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_site(site=shown, actor=request.user, now=timezone.now(), **values_of(form))
            messages.success(request, _("“%(name)s” is saved.") % {"name": form.cleaned_data["name"]})
            return redirect(shown)
    return render(request, "stands/change_site.html", {"form": form, "site": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_stand(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    now = timezone.now()
    form = StandForm(request.POST or None, this_year=now.astimezone(shown.zone_info).year)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_stand(site=shown, actor=request.user, now=now, **form.cleaned_data)
            messages.success(request, _("“%(name)s” is recorded. Now its first zone.") % {"name": made.name})
            return redirect("stands:record_zone", request.group.slug, made.pk)
    return render(request, "stands/record_stand.html", {"form": form, "site": shown})
