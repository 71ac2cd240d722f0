"""Pages of work days for the people of a group."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands.models import Stand
from reedcrew.web.errors import refusals_on
from reedcrew.workdays import marks, queries, services, waiting_list
from reedcrew.workdays.day_pages import day_panels
from reedcrew.workdays.forms import CancelDayForm, EditDayForm, PostDayForm, values_of
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.season_calendar import season_calendar

DAYS_A_PAGE = 20
YEAR_FIRST, YEAR_LAST = 1950, 2199  # that the calendar shows (convention)


def fetch_day(request: GroupRequest, pk: int) -> WorkDay:
    """The day with this key in the request's group, or 404."""
    return get_object_or_404(queries.day_of_group(request.group, pk))


def _may_post(request: GroupRequest) -> bool:
    return request.member.may(Deed.POST_DAY)


@require_GET
@group_page(Deed.SEE_GROUP)
def days(request: GroupRequest) -> HttpResponse:
    now = timezone.now()
    listed = WorkDay.objects.of_group(request.group).with_stand().with_counts()
    past = Paginator(listed.past(now), DAYS_A_PAGE).get_page(request.GET.get("page"))
    return render(
        request, "workdays/days.html", {"upcoming": listed.upcoming(now), "past": past, "may_post": _may_post(request)}
    )


@require_GET
@group_page(Deed.SEE_GROUP)
def season(request: GroupRequest) -> HttpResponse:
    """The season as a calendar; a year in the address that is none shows the present one."""
    now = timezone.now()
    written = request.GET.get("year", "")
    year = int(written) if written.isascii() and written.isdigit() and len(written) == 4 else now.year
    if not YEAR_FIRST <= year <= YEAR_LAST:
        year = now.year
    context = {
        "calendar": season_calendar(request.member, year, now),
        "earlier": year - 1 if year > YEAR_FIRST else None,
        "later": year + 1 if year < YEAR_LAST else None,
        "may_post": _may_post(request),
    }
    return render(request, "workdays/season.html", context)


@require_GET
@group_page(Deed.SEE_GROUP)
def day(request: GroupRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(queries.day_of_group(request.group, pk).with_what_decides())
    context = {
        "day": shown,
        "site": shown.stand.site,
        "zones": shown.zones.all(),
        "places": queries.places_of(shown),
        "season": queries.season_warnings(shown),
        "public_url": request.build_absolute_uri(shown.get_public_url()),
        "own": queries.own_sign_ups(shown, request.user),
        "may_post": _may_post(request),
        "panels": day_panels(request, shown, timezone.now()),
    }
    return render(request, "workdays/day.html", context)


@require_GET
@group_page(Deed.SEE_ROSTER)
def roster(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_day(request, pk)
    people = Paginator(queries.roster(shown), 100).get_page(request.GET.get("page"))
    context = {
        "day": shown,
        "people": people,
        "places": queries.places_of(shown),
        "may_post": _may_post(request),
    }
    return render(request, "workdays/roster.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.POST_DAY)
def post_day(request: GroupRequest) -> HttpResponse:
    """Choose a stand, then say what the day is."""
    stands = Stand.objects.of_group(request.group).for_list()
    if "stand" not in request.GET:
        return render(request, "workdays/choose_stand.html", {"stands": stands})
    stand = next((each for each in stands if str(each.pk) == request.GET["stand"]), None)
    if stand is None:
        raise Http404
    initial = {"zones": list(stand.zones.all()), "water_places": 12, "land_places": 6}
    form = PostDayForm(request.POST or None, stand=stand, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            posted = services.post_day(
                stand=stand,
                facts=form.facts(),
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            messages.success(request, _("The day is posted. Share its public page."))
            return redirect(posted)
    return render(request, "workdays/post_day.html", {"form": form, "stand": stand})


@require_http_methods(["GET", "POST"])
@group_page(Deed.POST_DAY)
def edit_day(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_day(request, pk)
    form = EditDayForm(request.POST or None, stand=shown.stand, initial=values_of(shown), current_version=shown.version)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.edit_day(
                day=shown, version=shown.version, facts=form.facts(), actor=request.user, now=timezone.now()
            )
            messages.success(request, _("The day is changed. Everyone whose calendar needs it gets an update."))
            return redirect(shown)
    return render(request, "workdays/edit_day.html", {"form": form, "day": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.POST_DAY)
def cancel_day(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_day(request, pk)
    form = CancelDayForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.cancel_day(day=shown, reason=form.cleaned_data["reason"], actor=request.user, now=timezone.now())
            messages.success(request, _("The day is cancelled. Everyone who signed up is told."))
            return redirect(shown)
    return render(request, "workdays/cancel_day.html", {"form": form, "day": shown})


@require_POST
@group_page(Deed.POST_DAY)
def withdraw_other(request: GroupRequest, pk: int, sign_up: int) -> HttpResponse:
    """An organizer takes somebody off the roster."""
    shown = fetch_day(request, pk)
    theirs = get_object_or_404(SignUp.objects.for_roster().filter(day=shown), pk=sign_up)
    services.withdraw(sign_up=theirs, actor=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is off the roster and is told.") % {"name": theirs.member.name})
    return redirect("workdays:roster", request.group.slug, shown.pk)


@require_POST
@group_page(Deed.POST_DAY)
def give_place(request: GroupRequest, pk: int, sign_up: int) -> HttpResponse:
    """An organizer gives a free place to somebody of the waiting list to whom they have spoken."""
    shown = fetch_day(request, pk)
    theirs = get_object_or_404(SignUp.objects.for_roster().filter(day=shown), pk=sign_up)
    waiting_list.give_place(sign_up=theirs, actor=request.user, now=timezone.now())
    messages.success(request, _("%(name)s has a place and is told.") % {"name": theirs.member.name})
    return redirect("workdays:roster", request.group.slug, shown.pk)


@require_POST
@group_page(Deed.POST_DAY)
def see_mark(request: GroupRequest, pk: int, mark: int) -> HttpResponse:
    """An organizer has looked at what moved under the day."""
    shown = fetch_day(request, pk)
    marks.see_mark(mark=get_object_or_404(shown.marks, pk=mark), actor=request.user, now=timezone.now())
    messages.success(request, _("You have looked at it: the mark is taken off the day."))
    return redirect(shown)
