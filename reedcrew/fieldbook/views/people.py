"""Who is here, who is in water, who has left; signing in and out, with the gear that goes with it."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from reedcrew.crews.gear import services as gear
from reedcrew.crews.gear.forms import PressForm
from reedcrew.crews.gear.queries import pieces_out
from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.people import FindForm, StayForm
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day


def _back(request: GroupRequest, day: WorkDay, member: int) -> HttpResponse:
    """To the person's own page if the press came from there, else to the list, showing the people that it showed."""
    if request.POST.get("from") == "person":
        return redirect("fieldbook:person", request.group.slug, day.pk, member)
    page = reverse("fieldbook:people", args=[request.group.slug, day.pk])
    return redirect(f"{page}?{request.GET.urlencode()}" if request.GET else page)


@require_GET
@group_page(Deed.RUN_DAY)
def people(request: GroupRequest, pk: int) -> HttpResponse:
    """Who is here, who is in water, who has left; one press to sign in or out."""
    day, now = fetch_day(request, pk), timezone.now()
    roster = queries.people_of(day)
    find = FindForm(request.GET)
    context = {
        "day": day,
        "cards": queries.cards_of(day, find.among(roster), now),
        "find": find,
        "count": queries.head_count(roster),
    }
    return render(request, "fieldbook/people.html", context)


@require_GET
@group_page(Deed.RUN_DAY)
def person(request: GroupRequest, pk: int, member: int) -> HttpResponse:
    """One person, as their code opens them: in or out, and what they are handed."""
    day = fetch_day(request, pk)
    who = get_object_or_404(Member.objects.with_profile().filter(group=request.group), pk=member)
    found = [each for each in queries.people_of(day) if each.sign_up.member_id == who.pk]
    cards = queries.cards_of(day, found, timezone.now())
    context = {"day": day, "who": who, "card": cards[0] if cards else None}
    return render(request, "fieldbook/person.html", context)


def _stay(request: GroupRequest, day: WorkDay) -> StayForm | None:
    """The bound form of a sign-in or sign-out, or None with the reason told."""
    form = StayForm(request.POST, day=day)
    if form.is_valid():
        return form
    messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
    return None


@require_POST
@group_page(Deed.RUN_DAY)
def sign_in(request: GroupRequest, pk: int, member: int) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    who = get_object_or_404(Member.objects.with_profile().filter(group=request.group), pk=member)
    if form := _stay(request, day):
        try:
            services.sign_in(
                day=day,
                member=who,
                in_water=form.cleaned_data["in_water"],
                at=form.cleaned_data["at"] or now,
                actor=request.user,
                now=now,
            )
            messages.success(request, _("%(name)s is signed in.") % {"name": who.name})
            if "gear" in request.POST:
                _hand_out(request, day, who)
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    return _back(request, day, who.pk)


def _hand_out(request: GroupRequest, day: WorkDay, who: Member) -> None:
    """What stood on the card goes out with its person. Raises what crews.gear.services.hand_out raises."""
    form = PressForm(request.POST, group=request.group)
    if not form.is_valid():
        messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
        return
    gear.hand_out(
        day=day,
        member=who,
        sets=list(form.cleaned_data["sets"]),
        counted=form.cleaned_data["pieces"],
        actor=request.user,
        now=timezone.now(),
        submission=form.cleaned_data["submission"],
    )
    messages.success(request, _("%(name)s has their gear.") % {"name": who.name})


@require_POST
@group_page(Deed.RUN_DAY)
def sign_out(request: GroupRequest, pk: int, attendance: uuid.UUID) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    stay = get_object_or_404(Attendance.objects.filter(day=day).select_related("member", "day"), pk=attendance)
    if form := _stay(request, day):
        try:
            services.sign_out(attendance=stay, at=form.cleaned_data["at"] or now, actor=request.user, now=now)
            messages.success(request, _("%(name)s is signed out.") % {"name": stay.member.name})
            if left_with := [str(piece) for who, piece in pieces_out(day) if who.pk == stay.member_id]:
                words = {"name": stay.member.name, "pieces": ", ".join(left_with)}
                messages.warning(request, _("%(name)s still has: %(pieces)s.") % words)
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    return _back(request, day, stay.member_id)


@require_POST
@group_page(Deed.RUN_DAY)
def mark_absent(request: GroupRequest, pk: int, sign_up: int) -> HttpResponse:
    """Somebody did not come: the plan no longer counts on them."""
    day = fetch_day(request, pk)
    who = get_object_or_404(day.sign_ups.select_related("member"), pk=sign_up)
    try:
        workdays.mark_absent(sign_up=who, actor=request.user, now=timezone.now())
        messages.success(request, _("%(name)s is marked as absent. The plan is made anew.") % {"name": who.member.name})
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))
    return _back(request, day, who.member_id)


@require_POST
@group_page(Deed.RUN_DAY)
def mark_present(request: GroupRequest, pk: int, sign_up: int) -> HttpResponse:
    """Take back that somebody did not come."""
    day = fetch_day(request, pk)
    who = get_object_or_404(day.sign_ups.select_related("member"), pk=sign_up)
    workdays.mark_present(sign_up=who, actor=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is expected again. The plan is made anew.") % {"name": who.member.name})
    return _back(request, day, who.member_id)
