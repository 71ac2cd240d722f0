"""Pages of checks of a stand's subspecies."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands import services
from reedcrew.stands.forms import (
    CheckForm,
)
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.web.errors import refusals_on


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def record_check(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    now = timezone.now()
    initial = {"checked_on": now.astimezone(shown.site.zone_info).date()}
    form = CheckForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_check(stand=shown, actor=request.user, now=now, **form.cleaned_data)
            messages.success(
                request,
                _("The check is recorded. Work days can be posted on this stand.")
                if shown.may_be_cut
                else _("The check is recorded. The stand is protected: no work day can be posted on it."),
            )
            return redirect(shown)
    return render(request, "stands/record_check.html", {"form": form, "stand": shown})
