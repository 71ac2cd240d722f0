"""Whom to call for the people of a day."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook.forms.people import LookForm
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.people.services import look_at_private_of_day
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.queries import led_day
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@never_cache
@group_page(Deed.SEE_PRIVATE)
def emergency(request: GroupRequest, pk: int) -> HttpResponse:
    """Whom to call for each person of the day; opened with a reason, and each look is recorded."""
    day, now = fetch_day(request, pk), timezone.now()
    form = LookForm(request.POST or None)
    context: dict[str, object] = {"day": day, "site": day.stand.site, "form": form}
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            context["records"] = look_at_private_of_day(
                by=request.member, led_day=led_day(day, now), now=now, why=form.cleaned_data["why"]
            )
    return render(request, "fieldbook/emergency.html", context)
