"""The briefing: gone through item by item before the water opens, and who heard it."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.briefing_list import briefing_list
from reedcrew.fieldbook.forms.water import BriefingForm
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def briefing(request: GroupRequest, pk: int) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    heard = queries.who_heard(day)
    form = BriefingForm(request.POST or None, day=day, heard=heard)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            told = services.hear_briefing(day=day, actor=request.user, now=now, **form.cleaned_data)
            names = ", ".join(each.member.name for each in told)
            messages.success(request, _("Heard the briefing: %(names)s.") % {"names": names})
            return redirect("fieldbook:briefing", request.group.slug, day.pk)
    context = {
        "day": day,
        "items": briefing_list(day, now),
        "ticked": request.POST.getlist("items"),
        "form": form,
        "rounds": queries.briefings_of(day),
        "may_hear": day.is_open and form.people.exists(),
    }
    return render(request, "fieldbook/briefing.html", context)
