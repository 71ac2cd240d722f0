"""The day itself: sign-in, stems, loads, closing. Every page works without a script and on a small phone."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.crews.gear.queries import pieces_out
from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms import FindForm, LoadForm, LookForm, StayForm, StrikeForm, TallyForm, WalkUpForm
from reedcrew.fieldbook.models import Attendance, FieldEntry, Load, Tally
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.people.services import look_at_private_of_day
from reedcrew.stock.queries import cleaning_solutions
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.queries import led_day
from reedcrew.workdays.views import fetch_day

ENTRIES: dict[str, type[FieldEntry]] = {"attendance": Attendance, "tally": Tally, "load": Load}


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


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def stems(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    form = TallyForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            _tally(day, form, request)
            messages.success(request, _("The stems are written down."))
            return redirect("fieldbook:stems", request.group.slug, day.pk)
    context = {"day": day, "form": form, "tallies": queries.tallies_of(day), "total": queries.stems_of(day)}
    return render(request, "fieldbook/stems.html", context)


def _tally(day: WorkDay, form: TallyForm, request: GroupRequest) -> Tally:
    data, now = form.cleaned_data, timezone.now()
    if data["method"] == Tally.Method.COUNTED:
        return services.tally_counted(
            day=day,
            zone=data["zone"],
            stems=data["stems"],
            unit_number=data["unit_number"],
            actor=request.user,
            now=now,
            entry_id=data["entry_id"],
        )
    return services.tally_bundles(
        day=day,
        zone=data["zone"],
        bundles=data["bundles"],
        sample=data["sample"],
        unit_number=data["unit_number"],
        actor=request.user,
        now=now,
        entry_id=data["entry_id"],
    )


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def loads(request: GroupRequest, pk: int) -> HttpResponse:
    day = fetch_day(request, pk)
    form = LoadForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_load(day=day, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The load is written down."))
            return redirect("fieldbook:loads", request.group.slug, day.pk)
    return render(request, "fieldbook/loads.html", {"day": day, "form": form, "loads": queries.loads_of(day)})


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def strike(request: GroupRequest, pk: int, entry: uuid.UUID, kind: str) -> HttpResponse:
    """Strike out a wrong entry, with the reason."""
    day = fetch_day(request, pk)
    wrong = get_object_or_404(ENTRIES[kind], day=day, struck_at=None, pk=entry)
    form = StrikeForm(request.POST or None)
    back = {"attendance": "fieldbook:people", "tally": "fieldbook:stems", "load": "fieldbook:loads"}[kind]
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.strike(entry=wrong, reason=form.cleaned_data["reason"], actor=request.user, now=timezone.now())
            messages.success(request, _("The entry is struck out and stays readable."))
            return redirect(back, request.group.slug, day.pk)
    return render(request, "fieldbook/strike.html", {"day": day, "form": form, "entry": wrong, "back": back})


@require_http_methods(["GET", "POST"])
@never_cache
@group_page(Deed.SEE_PRIVATE)
def emergency(request: GroupRequest, pk: int) -> HttpResponse:
    """Whom to call for each person of the day; opened with a reason, and each look is recorded."""
    day, now = fetch_day(request, pk), timezone.now()
    form = LookForm(request.POST or None)
    context: dict[str, object] = {"day": day, "site": day.stand.site, "form": form}
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            context["records"] = look_at_private_of_day(
                by=request.member, led_day=led_day(day, now), now=now, why=form.cleaned_data["why"]
            )
    return render(request, "fieldbook/emergency.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def close(request: GroupRequest, pk: int) -> HttpResponse:
    """Sums, cautions, and the press that sends hours and stems to the ledger."""
    day = fetch_day(request, pk)
    if request.method == "POST":
        try:
            services.close(day=day, actor=request.user, now=timezone.now())
            messages.success(request, _("The day is closed. Its hours and stems are in the ledger. Thank you."))
            return redirect("fieldbook:close", request.group.slug, day.pk)
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    roster = queries.people_of(day)
    context = {
        "day": day,
        "count": queries.head_count(roster),
        "here": [person for person in roster if person.here],
        "minutes": queries.minutes_of(roster),
        "stems": queries.stems_of(day),
        "loads": queries.loads_of(day).standing(),
        "solutions": cleaning_solutions(),
        "gear_out": pieces_out(day),
    }
    return render(request, "fieldbook/close.html", context)
