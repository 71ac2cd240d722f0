"""The first page, a new group, and a person's own pages across groups."""

import datetime
from collections.abc import Iterable
from typing import cast

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people import queries, services
from reedcrew.people.first_steps import first_steps
from reedcrew.people.forms.group import FoundGroupForm
from reedcrew.people.home import home_panels
from reedcrew.people.models import Account, Member
from reedcrew.people.needs import decides, groups_with_needs, waiting_for
from reedcrew.people.roles import Deed
from reedcrew.people.second_step import second_step_due
from reedcrew.web.errors import refusals_on

LOOKS_A_PAGE = 50
MOST_URGENT = 3  # on the first page; the whole list is the group's


def _account(request: HttpRequest) -> Account:
    """The account that is signed in; login_required has run."""
    return cast(Account, request.user)


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    if not request.user.is_authenticated:
        return render(request, "people/welcome.html")
    now = timezone.now()
    memberships = list(queries.memberships_of(_account(request)))
    deciding = [member for member in memberships if decides(member)]
    keeping = [member.group for member in deciding if member.may(Deed.KEEP_GROUP)]
    waiting = waiting_for(deciding, now)
    context = {
        "memberships": memberships,
        "decides": bool(deciding),
        "waiting": waiting,
        "most_urgent": waiting[:MOST_URGENT],
        "lists": groups_with_needs(waiting),
        "show_group": len(deciding) > 1,
        "steps": first_steps(keeping[0], now) if len(keeping) == 1 else (),
        "panels": home_panels(request, now),
    }
    return render(request, "people/home.html", context)


@require_http_methods(["GET", "POST"])
@login_required
def found(request: HttpRequest) -> HttpResponse:
    form = FoundGroupForm(request.POST or None, initial={"contact_email": _account(request).email})
    if form.is_valid():
        facts = {name: form.cleaned_data[name] for name in ("name", "contact_email", "about", "founder_name")}
        with refusals_on(form):
            member = services.found_group(
                **facts, language=get_language() or settings.LANGUAGE_CODE, actor=_account(request), now=timezone.now()
            )
            messages.success(request, _("%(group)s is founded. You are its organizer.") % {"group": member.group})
            return redirect(member.group)
    return render(request, "people/found.html", {"form": form})


@require_GET
@login_required
def profile(request: HttpRequest) -> HttpResponse:
    """What the site knows of the reader: groups, children, looks at private records, sign-in security."""
    memberships = list(queries.memberships_of(_account(request)))
    context = {
        "memberships": memberships,
        "looks": Paginator(queries.looks_at(_account(request)), LOOKS_A_PAGE).get_page(request.GET.get("page")),
        "is_organizer": any(member.may(Deed.KEEP_GROUP) for member in memberships),
    }
    return render(request, "people/profile.html", context)


@require_GET
@login_required
def security(request: HttpRequest) -> HttpResponse:
    """Where passkeys, authenticator apps, recovery codes and open sessions are kept."""
    memberships = list(queries.memberships_of(_account(request)))
    context = {
        "is_organizer": any(member.may(Deed.KEEP_GROUP) for member in memberships),
        "second_step_due": _earliest_due(memberships),
    }
    return render(request, "people/security.html", context)


@require_GET
@login_required
def second_step(request: HttpRequest) -> HttpResponse:
    """Why a page waits, and the way to a passkey or an authenticator app."""
    due = _earliest_due(queries.memberships_of(_account(request)))
    return render(request, "people/second_step.html", {"due": due, "now": timezone.now()})


def _earliest_due(memberships: Iterable[Member]) -> datetime.datetime | None:
    return min((due for member in memberships if (due := second_step_due(member)) is not None), default=None)
