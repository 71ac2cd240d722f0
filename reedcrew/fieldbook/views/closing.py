"""Closing the day."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.crews.gear.queries import pieces_out
from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.closing import CloseForm
from reedcrew.fieldbook.in_water import water_state
from reedcrew.fieldbook.sent_words import entries_waiting
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stock.queries import cleaning_solutions
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def close(request: GroupRequest, pk: int) -> HttpResponse:
    """Sums, cautions, and the press that sends hours and stems to the ledger."""
    day, now = fetch_day(request, pk), timezone.now()
    form = CloseForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            services.close(day=day, actor=request.user, now=now, checked=form.checked())
            messages.success(request, _("The day is closed. Its hours and stems are in the ledger. Thank you."))
            return redirect("fieldbook:close", request.group.slug, day.pk)
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    roster = queries.people_of(day)
    context = {
        "day": day,
        "form": form,
        "water": water_state(day, now).count,
        "waiting": entries_waiting(day),
        "count": queries.head_count(roster),
        "here": [person for person in roster if person.here],
        "minutes": queries.minutes_of(roster),
        "stems": queries.stems_of(day),
        "loads": queries.loads_of(day).standing(),
        "solutions": cleaning_solutions(),
        "gear_out": pieces_out(day),
    }
    return render(request, "fieldbook/close.html", context)
