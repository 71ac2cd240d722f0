"""Incidents of a day: private to organizers and, while the day is near, its crew leads."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.work import IncidentForm
from reedcrew.fieldbook.views.strikes import may_read_incidents
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@never_cache
@group_page(Deed.RUN_DAY)
def incidents(request: GroupRequest, pk: int) -> HttpResponse:
    """Write one down, and read those of the day."""
    day, now = fetch_day(request, pk), timezone.now()
    form = IncidentForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            data = dict(form.cleaned_data)
            data["happened_at"] = data["happened_at"] or now
            services.record_incident(day=day, actor=request.user, now=now, **data)
            messages.success(request, _("The incident is written down. The organizers are told at once."))
            return redirect("fieldbook:incidents", request.group.slug, day.pk)
    may_read = may_read_incidents(request, day)
    context = {"day": day, "form": form, "may_read": may_read}
    if may_read:
        context["incidents"] = queries.incidents_of(day)
    return render(request, "fieldbook/incidents.html", context)


@require_GET
@never_cache
@group_page(Deed.READ_INCIDENTS)
def group_incidents(request: GroupRequest) -> HttpResponse:
    """Every incident of the group, the latest first."""
    return render(request, "fieldbook/group_incidents.html", {"incidents": queries.incidents_of_group(request.group)})
