"""The gear page of a day: hand out what the plan says with one press, take it back with another."""

import uuid
from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.crews.gear import queries, services
from reedcrew.crews.gear.forms import ComeBackForm, HandOutForm, PressForm, WhoForm, pieces_text
from reedcrew.crews.gear.outings import outing_of
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.stock.models import GearSet, Kind
from reedcrew.stock.queries import free_sets, state_of
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """A person's card: what stands on it, and the hidden words of its two buttons."""

    person: queries.PersonGear
    submission: uuid.UUID
    pieces_wanted: str
    pieces_out: str


@require_GET
@group_page(Deed.HANDLE_GEAR)
def gear(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    sheet = queries.gear_sheet(day)
    cards = [
        Press(
            person=person,
            submission=uuid.uuid4(),
            pieces_wanted=pieces_text(person.counted_wanted),
            pieces_out=pieces_text(person.counted_out),
        )
        for person in sheet.people
    ]
    return render(request, "crews/gear/gear.html", {"day": day, "sheet": sheet, "cards": cards})


@require_POST
@group_page(Deed.HANDLE_GEAR)
def book(request: GroupRequest, pk: int) -> HttpResponse:
    """Choose a set for each thing that the plan lends."""
    day = fetch_day(request, pk)
    booked = services.book_for(day=day, actor=request.user, now=timezone.now())
    said = ngettext(
        "%(count)d set is booked for the day.", "%(count)d sets are booked for the day.", len(booked.bookings)
    )
    messages.success(request, said % {"count": len(booked.bookings)})
    for want in booked.unmet:
        words = {"item": _(want.item.value), "size": _(want.size) if want.size else "", "name": want.member.name}
        messages.warning(request, _("No set is free: %(item)s %(size)s for %(name)s.") % words)
    return redirect("crews:gear", request.group.slug, day.pk)


def _member(request: GroupRequest, pk: int) -> Member:
    return get_object_or_404(Member.objects.filter(group=request.group), pk=pk)


def _press(request: GroupRequest) -> PressForm | None:
    """The bound form of a press, or None with the reason told."""
    form = PressForm(request.POST, group=request.group)
    if form.is_valid():
        return form
    messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
    return None


@require_POST
@group_page(Deed.HANDLE_GEAR)
def hand_out(request: GroupRequest, pk: int, member: int) -> HttpResponse:
    """One press: the person gets what stood on their card."""
    day, who = fetch_day(request, pk), _member(request, member)
    if form := _press(request):
        try:
            services.hand_out(
                day=day,
                member=who,
                sets=list(form.cleaned_data["sets"]),
                counted=form.cleaned_data["pieces"],
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            messages.success(request, _("%(name)s has their gear.") % {"name": who.name})
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    return redirect("crews:gear", request.group.slug, day.pk)


@require_POST
@group_page(Deed.HANDLE_GEAR)
def all_back(request: GroupRequest, pk: int, member: int) -> HttpResponse:
    """One press: all that stood on the card came back in order."""
    day, who = fetch_day(request, pk), _member(request, member)
    if form := _press(request):
        try:
            services.take_back(
                day=day,
                member=who,
                sets=dict.fromkeys(form.cleaned_data["sets"], Kind.RETURNED),
                counted=[(each, Kind.RETURNED) for each in form.cleaned_data["pieces"]],
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            messages.success(request, _("The gear of %(name)s is back, to be cleaned and dried.") % {"name": who.name})
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    return redirect("crews:gear", request.group.slug, day.pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.HANDLE_GEAR)
def person(request: GroupRequest, pk: int, member: int) -> HttpResponse:
    """One person: choose the sets, hand out something else, take back in parts, damaged or lost."""
    day, who = fetch_day(request, pk), _member(request, member)
    found = queries.gear_sheet(day).of(who)
    if found is None:
        raise Http404
    sent = request.POST.get("form")
    out = HandOutForm(
        request.POST if sent == "out" else None,
        prefix="out",
        group=request.group,
        person=found,
        others=[state.gear_set for state in free_sets(request.group, outing_of(day))],
    )
    back = ComeBackForm(request.POST if sent == "back" else None, prefix="back", person=found)
    form = back if sent == "back" else out
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            _record(request, day, who, form)
            messages.success(request, _("Recorded."))
            return redirect("crews:gear", request.group.slug, day.pk)
    context = {"day": day, "person": found, "out": out, "back": back}
    return render(request, "crews/gear/person.html", context)


def _record(request: GroupRequest, day: WorkDay, who: Member, form: HandOutForm | ComeBackForm) -> None:
    now, submission = timezone.now(), form.cleaned_data["submission"]
    if isinstance(form, HandOutForm):
        services.hand_out(
            day=day,
            member=who,
            sets=form.sets,
            counted=form.counted,
            actor=request.user,
            now=now,
            submission=submission,
        )
        return
    services.take_back(
        day=day,
        member=who,
        sets=form.sets,
        counted=form.counted,
        note=form.cleaned_data["note"],
        actor=request.user,
        now=now,
        submission=submission,
    )


@require_http_methods(["GET", "POST"])
@group_page(Deed.HANDLE_GEAR)
def scanned(request: GroupRequest, pk: int, code: str) -> HttpResponse:
    """A set whose label was scanned is handed out on this day."""
    day = fetch_day(request, pk)
    gear_set = get_object_or_404(GearSet.objects.of_group(request.group).for_page(), code=code.upper())
    form = WhoForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.hand_out(
                day=day,
                member=form.cleaned_data["member"],
                sets=[gear_set],
                actor=request.user,
                now=timezone.now(),
                submission=form.cleaned_data["submission"],
            )
            messages.success(request, _("%(name)s has it.") % {"name": form.cleaned_data["member"].name})
            return redirect(gear_set)
    context = {"day": day, "set": gear_set, "state": state_of(gear_set), "form": form}
    return render(request, "crews/gear/scanned.html", context)
