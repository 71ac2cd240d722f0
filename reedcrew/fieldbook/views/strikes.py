"""Striking out what was written down wrong. The entry stays readable, with who, when and why."""

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import services
from reedcrew.fieldbook.forms.work import StrikeForm
from reedcrew.fieldbook.models import Attendance, DayPhoto, FieldEntry, HeadCheck, Incident, Load, Tally, WaterStint
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.queries import led_day
from reedcrew.workdays.views import fetch_day


@dataclass(frozen=True, slots=True, kw_only=True)
class Strikable:
    """A kind of entry that can be struck out: the page that lists it, and the entry in words."""

    model: type[FieldEntry]
    page: str
    words: Callable[[Any], str]


KINDS = {
    "attendance": Strikable(
        model=Attendance,
        page="people",
        words=lambda stay: _("Stay on site: %(name)s") % {"name": stay.member.name},
    ),
    "water": Strikable(
        model=WaterStint,
        page="water",
        words=lambda stint: (
            _("Time in water: %(names)s") % {"names": ", ".join(each.member.name for each in services.unit_of(stint))}
        ),
    ),
    "count": Strikable(
        model=HeadCheck,
        page="water",
        words=lambda count: (
            _("Head count: %(seen)d seen, %(expected)d expected") % {"seen": count.seen, "expected": count.expected}
        ),
    ),
    "tally": Strikable(
        model=Tally,
        page="stems",
        words=lambda tally: _("Tally: %(stems)d stems in %(zone)s") % {"stems": tally.stems, "zone": tally.zone.name},
    ),
    "load": Strikable(
        model=Load,
        page="loads",
        words=lambda load: (
            _("Load: %(count)d × %(kind)s, %(place)s")
            % {"count": load.count, "kind": load.get_kind_display(), "place": load.place}
        ),
    ),
    "incident": Strikable(
        model=Incident,
        page="incidents",
        words=lambda incident: _("Incident: %(kind)s") % {"kind": incident.get_kind_display()},
    ),
    "photo": Strikable(
        model=DayPhoto,
        page="photos",
        words=lambda photo: (
            _("Photo of %(when)s: %(place)s")
            % {"when": photo.get_kind_display(), "place": photo.zone.name if photo.zone else photo.day.stand.name}
        ),
    ),
}


@require_http_methods(["GET", "POST"])
@never_cache
@group_page(Deed.RUN_DAY)
def strike(request: GroupRequest, pk: int, kind: str, entry: uuid.UUID) -> HttpResponse:
    """Strike out a wrong entry, with the reason. An incident only by those who may read it."""
    day, now = fetch_day(request, pk), timezone.now()
    if kind not in KINDS or (kind == "incident" and not may_read_incidents(request, day)):
        raise Http404
    sort = KINDS[kind]
    wrong = get_object_or_404(sort.model._default_manager.all(), day=day, struck_at=None, pk=entry)
    form = StrikeForm(request.POST or None)
    back = f"fieldbook:{sort.page}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.strike(entry=wrong, reason=form.cleaned_data["reason"], actor=request.user, now=now)
            messages.success(request, _("The entry is struck out and stays readable."))
            return redirect(back, request.group.slug, day.pk)
    context = {"day": day, "form": form, "entry": wrong, "kind": kind, "words": capfirst(sort.words(wrong))}
    return render(request, "fieldbook/strike.html", {**context, "back": back})


def may_read_incidents(request: GroupRequest, day: WorkDay) -> bool:
    """Organizers always, crew leads while the day is near."""
    return request.member.may(Deed.READ_INCIDENTS) or led_day(day, timezone.now()).is_near
