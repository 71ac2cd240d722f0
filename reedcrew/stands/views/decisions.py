"""The page on which an organizer decides which reed a stand is."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import DecisionForm
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.web.errors import refusals_on


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def decide_identification(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    panel = queries.identification_panel(shown)
    form = DecisionForm(
        request.POST or None,
        stand=shown,
        current_version=max((check.pk for check in panel.checks), default=0),
        initial={"checks": [check.pk for check in panel.checks]},
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.decide_identification(stand=shown, actor=request.user, now=timezone.now(), **form.facts)
            messages.success(
                request,
                _("The decision is recorded. Work days can be posted on this stand.")
                if shown.may_be_cut
                else _("The decision is recorded. The stand is protected: no work day can be posted on it."),
            )
            return redirect(shown)
    return render(request, "stands/decide_identification.html", {"form": form, "stand": shown, "panel": panel})
