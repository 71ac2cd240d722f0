"""Pages of notices and of a site's calendar."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import ChangeNoticeForm, EndNoticeForm, RecordNoticeForm, sent_twice, values_of
from reedcrew.stands.models import Site, SiteNotice
from reedcrew.stands.views.sites import fetch_site
from reedcrew.trade.season import YEAR_MAX, YEAR_MIN
from reedcrew.web.errors import refusals_on


def fetch_notice(site: Site, pk: int) -> SiteNotice:
    """The notice with this key of a site that was fetched for the request, or 404."""
    return get_object_or_404(site.notices.select_related("site__group"), pk=pk)


@require_GET
@group_page(Deed.SEE_GROUP)
def notices(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    today = timezone.now().astimezone(shown.zone_info).date()
    lists = queries.notices_at(shown, today)
    context = {"site": shown, "lists": lists, "may_keep": request.member.may(Deed.KEEP_STANDS)}
    return render(request, "stands/notices.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_notice(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    form = RecordNoticeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_notice(site=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The notice is recorded. The calendar of the site follows it."))
            return redirect("stands:notices", request.group.slug, shown.pk)
    return render(request, "stands/record_notice.html", {"form": form, "site": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def change_notice(request: GroupRequest, pk: int, notice: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    row = fetch_notice(shown, notice)
    form = ChangeNoticeForm(request.POST or None, instance=fetch_notice(shown, notice), current_version=row.version)
    if sent_twice(form):
        return redirect("stands:notices", request.group.slug, shown.pk)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_notice(notice=row, actor=request.user, now=timezone.now(), **values_of(form))
            messages.success(request, _("The notice is saved."))
            return redirect("stands:notices", request.group.slug, shown.pk)
    return render(request, "stands/change_notice.html", {"form": form, "site": shown, "notice": row})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def end_notice(request: GroupRequest, pk: int, notice: int) -> HttpResponse:
    shown = fetch_site(request, pk)
    row = fetch_notice(shown, notice)
    now = timezone.now()
    form = EndNoticeForm(request.POST or None, today=now.astimezone(shown.zone_info).date())
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.end_notice(notice=row, actor=request.user, now=now, **form.cleaned_data)
            messages.success(
                request, _("The notice has its last day. It stays in the list; there you can take its end back.")
            )
            return redirect("stands:notices", request.group.slug, shown.pk)
    return render(request, "stands/end_notice.html", {"form": form, "site": shown, "notice": row})


@require_POST
@group_page(Deed.KEEP_STANDS)
def resume_notice(request: GroupRequest, pk: int, notice: int) -> HttpResponse:
    """Take the end of a notice back; a second press finds it without an end and changes nothing."""
    shown = fetch_site(request, pk)
    services.resume_notice(notice=fetch_notice(shown, notice), actor=request.user, now=timezone.now())
    messages.success(request, _("The notice holds again. The calendar of the site follows it."))
    return redirect("stands:notices", request.group.slug, shown.pk)


@require_GET
@group_page(Deed.SEE_GROUP)
def calendar(request: GroupRequest, pk: int) -> HttpResponse:
    """The weeks of a year: the present one, or the one of ``?year=``."""
    shown = fetch_site(request, pk)
    today = timezone.now().astimezone(shown.zone_info).date()
    asked = request.GET.get("year", str(today.year))
    if not (asked.isascii() and asked.isdecimal() and len(asked) <= 4 and YEAR_MIN <= int(asked) <= YEAR_MAX):
        raise Http404
    year = int(asked)
    policy = policy_of(request.group)
    context = {
        "site": shown,
        "window": queries.window_of(shown, policy),
        "calendar": queries.year_of_work(shown, policy, year, today),
        "lists": queries.notices_at(shown, today),
        "earlier": year - 1 if year > YEAR_MIN else None,
        "later": year + 1 if year < YEAR_MAX else None,
    }
    return render(request, "stands/calendar.html", context)
