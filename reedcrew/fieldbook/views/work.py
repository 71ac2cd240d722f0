"""What was cut and where it went."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.work import LoadForm, TallyForm
from reedcrew.fieldbook.models import Tally
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day

STEPS = (10, 50, 100)  # stems of one press (convention): a handful, an armful, a sled


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def stems(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    form = TallyForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            _tally(day, form, request)
            messages.success(request, _("The stems are written down."))
            return redirect("fieldbook:stems", request.group.slug, day.pk)
    context = {
        "day": day,
        "form": form,
        "zones": queries.counting_zones(day),
        "steps": STEPS,
        "tallies": queries.tallies_of(day),
        "total": queries.stems_of(day),
    }
    return render(request, "fieldbook/stems.html", context)


def _tally(day: WorkDay, form: TallyForm, request: GroupRequest) -> Tally:
    data, now = form.cleaned_data, timezone.now()
    if data["method"] == Tally.Method.COUNTED:
        return services.tally_counted(
            day=day,
            zone=data["zone"],
            stems=data["stems"],
            unit_number=data["unit_number"],
            actor=request.user,
            now=now,
            entry_id=data["entry_id"],
        )
    return services.tally_bundles(
        day=day,
        zone=data["zone"],
        bundles=data["bundles"],
        sample=data["sample"],
        unit_number=data["unit_number"],
        actor=request.user,
        now=now,
        entry_id=data["entry_id"],
    )


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def loads(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    form = LoadForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_load(day=day, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The load is written down."))
            return redirect("fieldbook:loads", request.group.slug, day.pk)
    return render(request, "fieldbook/loads.html", {"day": day, "form": form, "loads": queries.loads_of(day)})
