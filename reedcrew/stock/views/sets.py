"""One set: its page behind the code on its label, its story, and the sheet of labels."""

import uuid
from dataclasses import dataclass

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stock import queries, services
from reedcrew.stock.forms import KeepSetForm, MoveSetForm
from reedcrew.stock.labels import qr_svg
from reedcrew.stock.models import GearSet, Kind, Place
from reedcrew.stock.set_actions import actions_for
from reedcrew.web.errors import refusals_on

# One press is enough for these; the others are asked again, with a note.
AT_ONCE = frozenset({Kind.RETURNED, Kind.CLEANED, Kind.DRIED, Kind.REPAIRED, Kind.CAME_BACK, Kind.FOUND})
# What a crew lead may record; the rest is the organizers'.
IN_THE_FIELD = frozenset({Kind.RETURNED, Kind.CLEANED, Kind.DRIED, Kind.DAMAGED, Kind.LOST, Kind.FOUND})


def fetch_set(request: GroupRequest, code: str) -> GearSet:
    """The set with this code in the request's group, or 404."""
    return get_object_or_404(GearSet.objects.of_group(request.group).for_page(), code=code.upper())


def kinds_for(request: GroupRequest, gear_set: GearSet, place: Place) -> list[Kind]:
    """What this reader may record of a set that is in this place."""
    kinds = services.next_kinds(gear_set, place)
    if request.member.may(Deed.KEEP_STOCK):
        return kinds
    return [kind for kind in kinds if kind in IN_THE_FIELD] if request.member.may(Deed.HANDLE_GEAR) else []


@require_GET
@group_page(Deed.SEE_GROUP)
def gear_set(request: GroupRequest, code: str) -> HttpResponse:
    """What the code on a label opens: where the set is, what comes next, its whole story."""
    shown = fetch_set(request, code)
    state = queries.state_of(shown)
    kinds = kinds_for(request, shown, state.place)
    context = {
        "set": shown,
        "state": state,
        "rows": queries.story(shown, request.member),
        "at_once": [kind for kind in kinds if kind in AT_ONCE],
        "asked": [kind for kind in kinds if kind not in AT_ONCE],
        "set_links": actions_for(request, shown, timezone.now()) if state.place in {Place.SHELF, Place.AIRED} else [],
        "submission": uuid.uuid4(),
        "see_names": request.member.may(Deed.SEE_PEOPLE),
        "see_stock": request.member.may(Deed.SEE_STOCK),
        "may_keep": request.member.may(Deed.KEEP_STOCK),
        "qr": qr_svg(address_of(shown)),
    }
    return render(request, "stock/set.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.HANDLE_GEAR)
def move_set(request: GroupRequest, code: str) -> HttpResponse:
    shown = fetch_set(request, code)
    state = queries.state_of(shown)
    # A press on a page that was open for long is answered by the service, which knows what happened meanwhile.
    kinds = list(Kind) if request.method == "POST" else kinds_for(request, shown, state.place)
    form = MoveSetForm(request.POST or None, kinds=kinds, initial={"kind": request.GET.get("kind")})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            if form.cleaned_data["kind"] not in IN_THE_FIELD and not request.member.may(Deed.KEEP_STOCK):
                raise PermissionDenied
            services.move_set(gear_set=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("Recorded: %(kind)s.") % {"kind": form.cleaned_data["kind"].label})
            return redirect(shown)
    form.fields["kind"].choices = [  # type: ignore[attr-defined]  # a choice field
        (kind.value, kind.label) for kind in kinds_for(request, shown, state.place)
    ]
    return render(request, "stock/move_set.html", {"form": form, "set": shown, "state": state, "line": shown.line})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STOCK)
def keep_set(request: GroupRequest, code: str) -> HttpResponse:
    """Where a set is kept."""
    shown = fetch_set(request, code)
    form = KeepSetForm(
        request.POST or None, current_version=shown.version, initial={"shelf": shown.shelf, "note": shown.note}
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.keep_set(
                gear_set=shown,
                version=shown.version,
                shelf=form.cleaned_data["shelf"],
                note=form.cleaned_data["note"],
                actor=request.user,
                now=timezone.now(),
            )
            messages.success(request, _("Saved."))
            return redirect(shown)
    return render(request, "stock/keep_set.html", {"form": form, "set": shown, "line": shown.line})


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What is printed for one set."""

    gear_set: GearSet
    qr: SafeString


def address_of(gear_set: GearSet) -> str:
    """The whole address that the code on a label holds."""
    return f"{settings.SITE_URL}{gear_set.get_absolute_url()}"


@require_GET
@group_page(Deed.SEE_STOCK)
def labels(request: GroupRequest) -> HttpResponse:
    """A sheet of labels to print: of one line with ``?line=``, else of all sets that the group has."""
    line = request.GET.get("line", "")
    states = queries.states_of_group(request.group)
    if line.isdecimal():
        states = tuple(each for each in states if str(each.gear_set.line_id) == line)
    gone = {Place.OUTSIDE, Place.RETIRED, Place.LOST}
    sheet = [
        Label(gear_set=each.gear_set, qr=qr_svg(address_of(each.gear_set))) for each in states if each.place not in gone
    ]
    return render(request, "stock/labels.html", {"labels": sheet})
