"""Typing in a day that ran on the paper sheets."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.errors import PaperRefused
from reedcrew.fieldbook.forms.paper import PaperForm
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def paper(request: GroupRequest, pk: int) -> HttpResponse:
    """One page for the whole day; whoever is signed in and out already is left to the sign-in page."""
    day = fetch_day(request, pk)
    roster = queries.people_of(day)
    form = PaperForm(
        request.POST or None,
        day=day,
        sign_ups=[each.sign_up for each in roster if not each.past],
        zones=list(day.zones.order_by("name", "pk")),
    )
    if request.method == "POST" and form.is_valid():
        try:
            services.type_in_paper(
                day=day,
                stays=form.stays(),
                stems=form.stems(),
                loads=form.loads(),
                submission=form.submission_id(),
                actor=request.user,
                now=timezone.now(),
            )
            messages.success(request, _("The sheets are written down."))
            return redirect("fieldbook:people", request.group.slug, day.pk)
        except PaperRefused as refused:
            form.refuse(refused.rows)
    done = [each for each in roster if each.past]
    return render(request, "fieldbook/paper.html", {"day": day, "form": form, "done": done})
