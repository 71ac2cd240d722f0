"""Writing to the people of a day."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from reedcrew.invites import mailings
from reedcrew.invites.forms import RosterMessageForm
from reedcrew.invites.models import RosterMessage
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays import queries


@require_http_methods(["GET", "POST"])
@group_page(Deed.POST_DAY)
def write(request: GroupRequest, pk: int) -> HttpResponse:
    """Write to the roster; what was written before stands below."""
    day = get_object_or_404(queries.day_of_group(request.group, pk))
    form = RosterMessageForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            sent = mailings.write_to_roster(day=day, actor=request.user, now=timezone.now(), **form.cleaned_data)
            text = ngettext(
                "The message goes to %(count)d person.", "The message goes to %(count)d people.", sent.people
            )
            messages.success(request, text % {"count": sent.people})
            return redirect(request.path)
    context = {"day": day, "form": form, "written": RosterMessage.objects.filter(day=day)}
    return render(request, "invites/write.html", context)
