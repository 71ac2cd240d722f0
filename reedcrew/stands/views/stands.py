"""Pages of stands."""

from django.contrib import messages
from django.core.paginator import Paginator
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
    sent_twice,
    values_of,
)
from reedcrew.stands.live_map import live_map
from reedcrew.stands.models import Site, Stand
from reedcrew.web.errors import refusals_on

ROWS_A_PAGE = 25


def fetch_stand(request: GroupRequest, pk: int) -> Stand:
    """The stand with this key in the request's group, or 404."""
    return get_object_or_404(Stand.objects.of_group(request.group).select_related("site", "site__group"), pk=pk)


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
    now, policy = timezone.now(), policy_of(request.group)
    page = queries.stand_page(fetch_stand(request, pk), policy, now)
    may_keep = request.member.may(Deed.KEEP_STANDS)
    context = {
        "page": page,
        "stand": page.stand,
        "removed": queries.removed_zones(page.stand, (today.zone for today in page.zones), now) if may_keep else [],
        "map": queries.stand_map(page.stand, policy, now),
        "live": live_map(request.group, stand=page.stand.pk),
        "may_keep": may_keep,
    }
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
