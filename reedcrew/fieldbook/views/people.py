"""Who is here, who is in water, who has left; signing in and out."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.people import FindForm, StayForm, WalkUpForm
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day


def _to_people(request: GroupRequest, day: WorkDay) -> HttpResponse:
    """Back to the sign-in page, showing the people that it showed."""
    page = reverse("fieldbook:people", args=[request.group.slug, day.pk])
    return redirect(f"{page}?{request.GET.urlencode()}" if request.GET else page)


@require_GET
@group_page(Deed.RUN_DAY)
def people(request: GroupRequest, pk: int) -> HttpResponse:
    """Who is here, who is in water, who has left; one press to sign in or out."""
    day = fetch_day(request, pk)
    return _people_page(request, day, WalkUpForm(day=day))


def _people_page(request: GroupRequest, day: WorkDay, walk_up: WalkUpForm) -> HttpResponse:
    roster = queries.people_of(day)
    find = FindForm(request.GET)
    context = {
        "day": day,
        "people": find.among(roster),
        "find": find,
        "count": queries.head_count(roster),
        "walk_up": walk_up,
    }
    return render(request, "fieldbook/people.html", context)


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
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    return _to_people(request, day)


@require_POST
@group_page(Deed.RUN_DAY)
def sign_out(request: GroupRequest, pk: int, attendance: uuid.UUID) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    stay = get_object_or_404(Attendance.objects.filter(day=day).select_related("member", "day"), pk=attendance)
    if form := _stay(request, day):
        try:
            services.sign_out(attendance=stay, at=form.cleaned_data["at"] or now, actor=request.user, now=now)
            messages.success(request, _("%(name)s is signed out.") % {"name": stay.member.name})
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    return _to_people(request, day)


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
    return _to_people(request, day)


@require_POST
@group_page(Deed.RUN_DAY)
def mark_present(request: GroupRequest, pk: int, sign_up: int) -> HttpResponse:
    """Take back that somebody did not come."""
    day = fetch_day(request, pk)
    who = get_object_or_404(day.sign_ups.select_related("member"), pk=sign_up)
    workdays.mark_present(sign_up=who, actor=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is expected again. The plan is made anew.") % {"name": who.member.name})
    return _to_people(request, day)


@require_POST
@group_page(Deed.RUN_DAY)
def walk_up(request: GroupRequest, pk: int) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    form = WalkUpForm(request.POST, day=day)
    if form.is_valid():
        with refusals_on(form):
            member = form.cleaned_data["member"]
            services.walk_up(
                day=day, member=member, place=form.cleaned_data["place"], at=now, actor=request.user, now=now
            )
            messages.success(request, _("%(name)s has a place and is signed in.") % {"name": member.name})
            return _to_people(request, day)
    return _people_page(request, day, form)
