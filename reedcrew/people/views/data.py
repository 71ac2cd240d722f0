"""What the site holds on the reader: read, take along, have erased."""

from typing import cast

from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people import queries, services
from reedcrew.people.forms.members import EraseForm
from reedcrew.people.held import held_on
from reedcrew.people.models import Account
from reedcrew.web.errors import refusals_on


@require_GET
@login_required
def data(request: HttpRequest) -> HttpResponse:
    """What is kept and for how long, with the way to the file and to the door."""
    return render(request, "people/data.html")


@require_GET
@login_required
def data_file(request: HttpRequest) -> HttpResponse:
    """Everything held on the reader and the children in their care, as one JSON file."""
    file = JsonResponse(held_on(cast(Account, request.user), timezone.now()), json_dumps_params={"indent": 1})
    file["Content-Disposition"] = 'attachment; filename="my-data.json"'
    file["Cache-Control"] = "private, no-store"
    return file


@require_http_methods(["GET", "POST"])
@login_required
def erase(request: HttpRequest) -> HttpResponse:
    """Asked once more, then forgotten in every group and signed out."""
    account, form = cast(Account, request.user), EraseForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        with refusals_on(form):
            services.erase_account(account=account, now=timezone.now())
            logout(request)
            messages.success(request, _("You are signed out, and what was personal is erased."))
            return redirect("people:home")
    context = {"form": form, "memberships": queries.memberships_of(account)}
    return render(request, "people/erase.html", context)
