"""Pages of a stand's years: charts, tables and the forecast."""

import hashlib

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import get_conditional_response, patch_cache_control
from django.utils.translation import get_language
from django.views.decorators.http import require_GET

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands import queries
from reedcrew.stands.charts import CHARTS
from reedcrew.stands.forms.crew import CrewForm
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.web.charts import Theme, draw


@require_GET
@group_page(Deed.SEE_GROUP)
def history(request: GroupRequest, pk: int) -> HttpResponse:
    """The years of a stand. A crew in the address replaces the usual one."""
    asked = any(name in request.GET for name in CrewForm.base_fields)
    form = CrewForm(request.GET) if asked else None
    crew = form.crew if form is not None and form.is_valid() else None
    found = queries.history(fetch_stand(request, pk), policy_of(request.group), timezone.now(), crew=crew)
    if form is None:
        usual = found.outlook.work.crew
        values = {"in_water": usual.in_water, "on_land": usual.on_land, "hours": round(usual.hours, 1)}
        form = CrewForm(initial=values)
    context = {"history": found, "stand": found.stand, "outlook": found.outlook, "form": form}
    return render(request, "stands/history.html", context)


@require_GET
@group_page(Deed.SEE_GROUP)
def history_chart(request: GroupRequest, pk: int, chart: str, theme: str) -> HttpResponse:
    """One chart as SVG. Unchanged figures answer 304 without drawing."""
    if chart not in CHARTS or theme not in set(Theme):
        raise Http404
    found = queries.history(fetch_stand(request, pk), policy_of(request.group), timezone.now())
    shown = CHARTS[chart](found)
    etag = f'"{hashlib.sha256(f"{shown} {theme} {get_language()}".encode()).hexdigest()[:32]}"'
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        answer = HttpResponse(draw(shown, Theme(theme)), content_type="image/svg+xml", headers={"ETag": etag})
    patch_cache_control(answer, private=True, no_cache=True)
    return answer
