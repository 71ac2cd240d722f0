"""Pages of surveys: recording, reading, striking out, and planning the next."""

import datetime
import secrets
from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import PlacesForm, StrikeSurveyForm, SurveyPlanForm, SurveySheet, pasted_text, start_values
from reedcrew.stands.models import Stand, Survey, Zone
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.trade.sampling import Placement, random_places
from reedcrew.trade.sampling.placement import SEED_MAX
from reedcrew.web.amounts import amount_text
from reedcrew.web.errors import refusals_on


def fetch_survey(request: GroupRequest, stand: Stand, pk: int) -> Survey:
    """The survey with this key of a stand that was fetched for the request, or 404."""
    found: Survey = get_object_or_404(queries.surveys_of(stand), pk=pk)
    return found


@require_GET
@group_page(Deed.SEE_GROUP)
def surveys(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    context = {
        "stand": shown,
        "page": queries.survey_list(shown),
        "stems": queries.stand_stems(shown.zones.all()),
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/surveys.html", context)


@require_GET
@group_page(Deed.SEE_GROUP)
def survey(request: GroupRequest, pk: int, survey: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    context = {
        "stand": shown,
        "page": queries.survey_page(fetch_survey(request, shown, survey)),
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/survey.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_survey(request: GroupRequest, pk: int) -> HttpResponse:
    """A sheet with rows by zone. Starts from drawn places or from a struck-out survey, where the address names one."""
    shown, now = fetch_stand(request, pk), timezone.now()
    zones = list(shown.zones.all())
    sheet = SurveySheet(
        zones=zones,
        initial=_start(request, shown, now),
        data=request.POST or None,
        more=request.POST.get("more", ""),
        places=_drawn(request, shown, zones),
    )
    if request.POST and not sheet.more and sheet.is_valid():
        with refusals_on(sheet.form):
            made = services.record_survey(
                stand=shown, quadrats=sheet.entries, actor=request.user, now=now, **sheet.values
            )
            _say_depths(request, made)
            return redirect(made.survey)
    return render(request, "stands/record_survey.html", {"sheet": sheet, "form": sheet.form, "stand": shown})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def strike_survey(request: GroupRequest, pk: int, survey: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    wrong = fetch_survey(request, shown, survey)
    form = StrikeSurveyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.strike_survey(
                survey=wrong, reason=form.cleaned_data["reason"], actor=request.user, now=timezone.now()
            )
            messages.success(request, _("The survey is struck out and stays readable. Enter anew what is right."))
            return redirect(wrong)
    return render(request, "stands/strike_survey.html", {"form": form, "stand": shown, "survey": wrong})


@require_GET
@group_page(Deed.SEE_GROUP)
def plan_survey(request: GroupRequest, pk: int) -> HttpResponse:
    """How many quadrats: asked by address, so that an answer can be shared."""
    shown = fetch_stand(request, pk)
    zones = list(shown.zones.all())
    latest = shown.surveys.filter(struck_at=None).first()
    start = start_values(timezone.now().date(), latest)
    form = SurveyPlanForm(
        request.GET or None, zones=[zone for zone in zones if zone.area_m2], initial={"quadrat_m2": start["quadrat_m2"]}
    )
    plan = None
    if form.is_bound and form.is_valid():
        asked = form.cleaned_data
        plan = queries.survey_plan(
            queries.stand_stems(zones).zones,
            quadrat_m2=asked["quadrat_m2"],
            guesses={zone.pk: guess for zone in zones if (guess := form.guess_of(zone))},
            precision=float(asked["precision"]) / 100,
            confidence=asked["confidence"],
            allocation=asked["allocation"],
        )
    return render(request, "stands/plan_survey.html", {"form": form, "stand": shown, "zones": zones, "plan": plan})


@require_GET
@group_page(Deed.SEE_GROUP)
def quadrat_places(request: GroupRequest, pk: int) -> HttpResponse:
    """Random places of quadrats. The number of a new draw goes into the address: a reload draws the same again."""
    shown = fetch_stand(request, pk)
    zones = [zone for zone in shown.zones.all() if zone.outline]
    form = PlacesForm(request.GET or None, zones=zones, initial={"zone": request.GET.get("zone")})
    context: dict[str, object] = {"form": form, "stand": shown, "zones": zones}
    if form.is_bound and form.is_valid():
        asked = form.cleaned_data
        if asked["seed"] is None:
            address = request.GET.copy()
            address["seed"] = str(secrets.randbelow(SEED_MAX))
            return redirect(f"{request.path}?{address.urlencode()}")
        context |= {
            "zone": asked["zone"],
            "placement": _placed(shown, asked),
            "may_keep": request.member.may(Deed.KEEP_STANDS),
            "query": request.GET.urlencode(),
        }
    return render(request, "stands/quadrat_places.html", context)


# --- Private ---------------------------------------------------------------------------------------------------------


def _placed(stand: Stand, asked: dict[str, Any]) -> Placement:
    zone: Zone = asked["zone"]
    return random_places(
        zone.outline or {},  # the form offers none without one
        asked["count"],
        seed=asked["seed"],
        start=stand.site.position,
        apart_m=float(asked["apart_m"] or 0),
    )


def _drawn(request: HttpRequest, stand: Stand, zones: Sequence[Zone]) -> tuple[int, Sequence[Any]] | None:
    """The places that the address names, for the rows of their zone."""
    form = PlacesForm(request.GET, zones=[zone for zone in zones if zone.outline])
    if not form.is_valid() or form.cleaned_data["seed"] is None:
        return None
    return form.cleaned_data["zone"].pk, _placed(stand, form.cleaned_data).places


def _start(request: GroupRequest, stand: Stand, now: datetime.datetime) -> dict[str, Any]:
    latest = stand.surveys.filter(struck_at=None).first()
    start = start_values(now.astimezone(stand.site.zone_info).date(), latest)
    key = request.GET.get("from", "")
    wrong = stand.surveys.filter(pk=key).first() if key.isascii() and key.isdigit() and len(key) < 18 else None
    if wrong is not None:
        start |= {
            **start_values(wrong.surveyed_on, wrong),
            "gauge_cm": wrong.gauge_cm,
            "counted_by": wrong.counted_by,
            "note": wrong.note,
            "pasted": pasted_text(list(wrong.quadrats.select_related("zone"))),
        }
    return start


def _say_depths(request: HttpRequest, made: services.Recorded) -> None:
    messages.success(request, _("The survey is recorded."))
    for each in made.depths:
        names = {"zone": each.zone.name, "depth": amount_text(each.depth_cm, "cm")}
        if each.taken:
            messages.info(request, _("“%(zone)s” now has the depth measured in it, %(depth)s.") % names)
        else:
            messages.warning(
                request,
                _(
                    "“%(zone)s” keeps its depth: the greatest measured, %(depth)s, is less than it has at the same "
                    "water, or the survey is older or has no gauge level. Change the zone if its deepest place was "
                    "measured."
                )
                % names,
            )
