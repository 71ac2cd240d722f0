"""Codes that a crew lead's phone reads: each person's own, shown on their own page."""

from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from reedcrew.fieldbook import queries
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.stock.labels import qr_svg


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownCode:
    """One person's code, to be held before the crew lead's phone."""

    member: Member
    qr: SafeString


@require_GET
@group_page(Deed.SEE_GROUP)
def my_code(request: GroupRequest) -> HttpResponse:
    """The reader's own code and those of the children in their care."""
    people = Member.objects.current().filter(group=request.group).in_care_of(request.member).order_by("name", "pk")
    ordered = sorted(people, key=lambda each: each.pk != request.member.pk)
    shown = [ShownCode(member=each, qr=qr_svg(_address(request, each))) for each in ordered]
    return render(request, "fieldbook/my_code.html", {"codes": shown})


@require_GET
@group_page(Deed.RUN_DAY)
def read_code(request: GroupRequest, code: str) -> HttpResponse:
    """Whose code it is: leads to their page on the day that is on, or lets the lead choose where there are several."""
    who = get_object_or_404(Member.objects.current().filter(group=request.group), code=code.upper())
    days = queries.days_taking_entries(request.group, timezone.now())
    if len(days) == 1:
        return redirect("fieldbook:person", request.group.slug, days[0].pk, who.pk)
    return render(request, "fieldbook/read_code.html", {"who": who, "days": days})


def _address(request: GroupRequest, member: Member) -> str:
    return request.build_absolute_uri(reverse("fieldbook:read_code", args=[request.group.slug, member.code]))
