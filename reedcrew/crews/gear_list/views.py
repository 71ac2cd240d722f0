"""The gear list page of a day."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from reedcrew.crews.gear_list.queries import gear_list as read_gear_list
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.workdays.views import fetch_day


@require_GET
@group_page(Deed.SEE_STOCK)
def gear_list(request: GroupRequest, pk: int) -> HttpResponse:
    """What is needed, own, in stock and short; what to borrow or buy; what to pack."""
    day = fetch_day(request, pk)
    context = {
        "day": day,
        "list": read_gear_list(day),
        "may_plan": request.member.may(Deed.PLAN_CREWS),
        "people": request.member.may(Deed.SEE_ROSTER),
    }
    return render(request, "crews/gear_list/gear_list.html", context)
