"""Pages that post several days, or one again, and take them back."""

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands.models import Stand
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays import queries, several
from reedcrew.workdays.errors import DaysRefused
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.several_forms import SeveralDaysForm, values_of_day, with_more_rows

DIGITS_OF_A_KEY = 18


@require_http_methods(["GET", "POST"])
@group_page(Deed.POST_DAY)
def post_several(request: GroupRequest) -> HttpResponse:
    """Days on the stand that the address names; without one it is chosen first."""
    if "stand" not in request.GET:
        return redirect("workdays:post_day", request.group.slug)
    keys = _keys(request.GET, "stand")
    stand = Stand.objects.of_group(request.group).filter(pk__in=keys[:1]).select_related("site__group").first()
    if stand is None:
        raise Http404
    initial = {"zones": list(stand.zones.all()), "water_places": 12, "land_places": 6}
    return _post(request, stand, initial, "workdays/post_several.html", {})


@require_http_methods(["GET", "POST"])
@group_page(Deed.POST_DAY)
def post_again(request: GroupRequest, pk: int) -> HttpResponse:
    """A day of the group once more: the same stand, places, times and texts, on other dates."""
    day = get_object_or_404(queries.day_of_group(request.group, pk))
    proposal = queries.proposal_for(day, timezone.now())
    initial = values_of_day(day, proposal.date)
    context = {"day": day, "proposal": proposal}
    return _post(request, day.stand, initial, "workdays/post_again.html", context)


@require_GET
@group_page(Deed.POST_DAY)
def posted(request: GroupRequest) -> HttpResponse:
    """What was posted just now, with the addresses to share and the way back."""
    days = list(_days(request, request.GET).order_by("starts_at", "pk"))
    if not days:
        return redirect("workdays:days", request.group.slug)
    shared = [(day, request.build_absolute_uri(day.get_public_url())) for day in days]
    is_taken = SignUp.objects.filter(day__in=days).exists()
    context = {"shared": shared, "may_take_back": not is_taken and any(day.is_open for day in days)}
    return render(request, "workdays/posted.html", context)


@require_POST
@group_page(Deed.POST_DAY)
def take_back(request: GroupRequest) -> HttpResponse:
    """Take days back that were posted by mistake."""
    days = list(_days(request, request.POST))
    try:
        taken = several.take_back_days(days=days, actor=request.user, now=timezone.now())
    except ReedcrewError as error:
        messages.error(request, str(error))
    else:
        said = ngettext("%(count)d day is taken back.", "%(count)d days are taken back.", len(taken))
        messages.success(request, said % {"count": len(taken)})
    return redirect("workdays:days", request.group.slug)


# --- Private ---------------------------------------------------------------------------------------------------------


def _post(
    request: GroupRequest, stand: Stand, initial: dict[str, object], template: str, context: dict[str, object]
) -> HttpResponse:
    if request.method == "POST" and "more" in request.POST:
        form = with_more_rows(request.POST, stand)
        return render(request, template, {**context, "form": form, "stand": stand})
    form = SeveralDaysForm(request.POST or None, stand=stand, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            days = several.post_days(
                stand=stand,
                facts=form.facts,
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
        except DaysRefused as refused:
            form.refuse(refused)
        else:
            said = ngettext("%(count)d day is posted.", "%(count)d days are posted.", len(days))
            messages.success(request, said % {"count": len(days)})
            keys = "&".join(f"day={day.pk}" for day in days)
            return redirect(f"{reverse('workdays:posted', args=[request.group.slug])}?{keys}")
    return render(request, template, {**context, "form": form, "stand": stand})


def _days(request: GroupRequest, data: QueryDict) -> QuerySet[WorkDay]:
    return WorkDay.objects.of_group(request.group).with_stand().filter(pk__in=_keys(data, "day"))


def _keys(data: QueryDict, name: str) -> list[int]:
    """The keys that an address or a form names; what can be none is passed over."""
    return [int(key) for key in data.getlist(name) if key.isascii() and key.isdigit() and len(key) <= DIGITS_OF_A_KEY]
