"""The paper of a day: choose, press, and get one PDF."""

import datetime

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from reedcrew.crews.paper.forms import PaperForm
from reedcrew.crews.paper.sheets import clipboard
from reedcrew.crews.paper.typeset import Sheet, typeset
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.queries import LedDay
from reedcrew.people.roles import Deed
from reedcrew.people.services import LookedAt, look_at_private_of_day
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.queries import led_day
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def paper(request: GroupRequest, pk: int) -> HttpResponse:
    """The choice of paper; posting it gives the PDF. Emergency contacts only from the day before to the day after."""
    day, now = fetch_day(request, pk), timezone.now()
    led = led_day(day, now)
    near = led.is_near and request.member.may(Deed.SEE_PRIVATE)
    form = PaperForm(request.POST or None, may_see_contacts=near)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            records = _contacts(request, form, led, now)
            return _pdf(day, now, records, Sheet(form.cleaned_data["sheet"]))
    return render(request, "crews/paper/paper.html", {"day": day, "form": form, "near": near})


def _contacts(request: GroupRequest, form: PaperForm, led: LedDay, now: datetime.datetime) -> LookedAt | None:
    if not form.wants_contacts:
        return None
    return look_at_private_of_day(by=request.member, led_day=led, now=now, why=form.cleaned_data["why"])


def _pdf(day: WorkDay, now: datetime.datetime, records: LookedAt | None, sheet: Sheet) -> HttpResponse:
    made = typeset(clipboard(day, now, records=records), sheet=sheet, at=now)
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="clipboard-{day.date:%Y-%m-%d}.pdf"'
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-store"
    return response
