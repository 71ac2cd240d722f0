"""The weather page of a day, and the form that changes its forecast without editing the day."""

from dataclasses import asdict

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.crews.weather.queries import EFFORTS, LIMITS, conditions
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.forecast import change_forecast, forecast_of
from reedcrew.workdays.forms import ForecastForm
from reedcrew.workdays.views import fetch_day


@require_GET
@group_page(Deed.SEE_GROUP)
def weather(request: GroupRequest, pk: int) -> HttpResponse:
    """What the forecast means for the crew, each number with its method and source."""
    day = fetch_day(request, pk)
    context = {
        "day": day,
        "site": day.stand.site,
        "now": conditions(day, timezone.now()),
        "efforts": EFFORTS,
        "limits": LIMITS,
        "may_change": request.member.may(Deed.RUN_DAY) and day.is_open,
    }
    return render(request, "crews/weather/weather.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def change_weather(request: GroupRequest, pk: int) -> HttpResponse:
    """Copy a forecast from anywhere, as often as it changes."""
    day = fetch_day(request, pk)
    form = ForecastForm(request.POST or None, initial=asdict(forecast_of(day)), current_version=day.version)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            change_forecast(
                day=day, version=day.version, forecast=form.forecast, actor=request.user, now=timezone.now()
            )
            messages.success(request, _("The forecast is saved. The plan is made anew with it."))
            return redirect("crews:weather", request.group.slug, day.pk)
    return render(request, "crews/weather/change.html", {"day": day, "form": form})
