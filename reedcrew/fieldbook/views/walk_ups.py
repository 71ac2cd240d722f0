"""Somebody came without having signed up."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import services
from reedcrew.fieldbook.forms.people import NewcomerForm, WalkUpForm
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def walk_up(request: GroupRequest, pk: int) -> HttpResponse:
    """Two forms: somebody of the group who has no place yet, and somebody whom the group does not know."""
    day = fetch_day(request, pk)
    sent = request.POST.get("form") if request.method == "POST" else None
    member = WalkUpForm(
        request.POST if sent == "member" else None, day=day, initial={"member": request.GET.get("member")}
    )
    newcomer = NewcomerForm(request.POST if sent == "newcomer" else None, day=day)
    form: forms.Form = newcomer if sent == "newcomer" else member
    if sent and form.is_valid():
        with refusals_on(form):
            stay = _newcomer(request, day, newcomer) if sent == "newcomer" else _member(request, day, member)
            messages.success(request, _("%(name)s has a place and is signed in.") % {"name": stay.member.name})
            return redirect("fieldbook:person", request.group.slug, day.pk, stay.member_id)
    return render(request, "fieldbook/walk_up.html", {"day": day, "member": member, "newcomer": newcomer})


def _member(request: GroupRequest, day: WorkDay, form: WalkUpForm) -> Attendance:
    now = timezone.now()
    return services.walk_up(day=day, at=now, actor=request.user, now=now, **form.cleaned_data)


def _newcomer(request: GroupRequest, day: WorkDay, form: NewcomerForm) -> Attendance:
    now = timezone.now()
    return services.add_newcomer(day=day, at=now, actor=request.user, now=now, **form.newcomer())
