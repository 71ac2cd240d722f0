"""Bags in the sun, until somebody takes them on."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.work import MovedOnForm
from reedcrew.fieldbook.models import Load
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on


@require_GET
@group_page(Deed.RUN_DAY)
def bags(request: GroupRequest) -> HttpResponse:
    """What lies in the sun, what is due, and what went on lately."""
    context = {
        "bags": queries.bags_in_sun(request.group, timezone.now()),
        "gone": queries.bags_moved_on(request.group),
    }
    return render(request, "fieldbook/bags.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def bags_moved_on(request: GroupRequest, entry: uuid.UUID) -> HttpResponse:
    """Say where the bags of one load went."""
    rows = Load.objects.in_sun().filter(day__stand__site__group=request.group).select_related("day__stand__site")
    load = get_object_or_404(rows, pk=entry)
    form = MovedOnForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.move_bags_on(load=load, to=form.cleaned_data["to"], actor=request.user, now=timezone.now())
            messages.success(request, _("Noted: these bags are taken on."))
            return redirect("fieldbook:bags", request.group.slug)
    return render(request, "fieldbook/bags_moved_on.html", {"load": load, "form": form})
