"""Who is in water, counted again and again until everybody is out."""

from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import services
from reedcrew.fieldbook.forms.water import ComeOutForm, GoInForm, PairForm, PlaceForm, SeenForm
from reedcrew.fieldbook.in_water import counts_of, times_in_water, water_state
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def water(request: GroupRequest, pk: int) -> HttpResponse:
    """Units in and out, head counts, and the call of everybody out."""
    day = fetch_day(request, pk)
    sent = request.POST.get("form") if request.method == "POST" else None
    state = water_state(day, timezone.now())
    pair = PairForm(request.POST if sent == "pair" else None, day=day, people=list(state.may_pair))
    if sent == "pair":
        done = pair.is_valid() and _pair(request, day, pair)
    else:
        done = sent in PRESSES and PRESSES[sent](request, day)
    if done:
        return redirect("fieldbook:water", request.group.slug, day.pk)
    context = {
        "day": day,
        "state": water_state(day, timezone.now()) if sent else state,
        "pair": pair,
        "seen": SeenForm(),
        "all_out": SeenForm(prefix="out"),
        "times": times_in_water(day),
        "counts": counts_of(day),
    }
    return render(request, "fieldbook/water.html", context)


def _pair(request: GroupRequest, day: WorkDay, form: PairForm) -> bool:
    with refusals_on(form):
        _go_in(request, day, form)
    return not form.errors


def _go_in(request: GroupRequest, day: WorkDay, form: PlaceForm) -> None:
    now, data = timezone.now(), form.cleaned_data
    services.go_in(
        day=day,
        members=list(data["members"]),
        zone=data["zone"],
        unit_number=data.get("unit_number"),
        at=data["at"] or now,
        actor=request.user,
        now=now,
    )
    messages.success(request, _("In water: %(names)s.") % {"names": _names(form)})


def _unit(request: GroupRequest, day: WorkDay) -> bool:
    form = GoInForm(request.POST, day=day)
    return _told(request, form, lambda: _go_in(request, day, form))


def _out(request: GroupRequest, day: WorkDay) -> bool:
    form = ComeOutForm(request.POST, day=day)

    def come_out() -> None:
        now = timezone.now()
        members, at = list(form.cleaned_data["members"]), form.cleaned_data["at"] or now
        services.come_out(day=day, members=members, at=at, actor=request.user, now=now)
        messages.success(request, _("Out of the water: %(names)s.") % {"names": _names(form)})

    return _told(request, form, come_out)


def _check(request: GroupRequest, day: WorkDay) -> bool:
    form = SeenForm(request.POST)

    def check() -> None:
        count = services.count_heads(day=day, actor=request.user, now=timezone.now(), **form.cleaned_data)
        if count.agrees:
            messages.success(request, _("Counted: all %(seen)d are there.") % {"seen": count.seen})
        else:
            words = {"seen": count.seen, "expected": count.expected}
            messages.error(
                request,
                _(
                    "%(seen)d seen, %(expected)d expected. Find out now who is missing: call the names, get everybody "
                    "out, call the emergency number when in doubt. Then mend the list and count again."
                )
                % words,
            )

    return _told(request, form, check)


def _all_out(request: GroupRequest, day: WorkDay) -> bool:
    form = SeenForm(request.POST, prefix="out")

    def call() -> None:
        services.call_all_out(day=day, actor=request.user, now=timezone.now(), **form.cleaned_data)
        messages.success(request, _("Everybody is out of the water."))

    return _told(request, form, call)


PRESSES: dict[str | None, Callable[[GroupRequest, WorkDay], bool]] = {
    "unit": _unit,
    "out": _out,
    "check": _check,
    "all_out": _all_out,
}


def _told(request: GroupRequest, form: forms.Form, press: Callable[[], None]) -> bool:
    """Do what a press of one button means, or tell why it was not done. True: the page can be asked for anew."""
    if not form.is_valid():
        messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
        return True
    try:
        press()
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))
    return True


def _names(form: forms.Form) -> str:
    return ", ".join(member.name for member in form.cleaned_data["members"])
