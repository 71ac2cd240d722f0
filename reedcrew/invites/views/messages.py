"""Writing to the people of a day."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

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
    """Write to the roster, look at it, send what was looked at, and follow how it goes out."""
    day = get_object_or_404(queries.day_of_group(request.group, pk))
    form = RosterMessageForm(request.POST or None)
    context = {"day": day, "form": form}
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        looked_at = request.POST.get("looked_at", "")
        mark = mailings.mark_of(day, **{name: said[name] for name in form.message_fields})
        if "preview" in request.POST or not constant_time_compare(looked_at, mark):
            found = mailings.readers_of(day=day, about_safety=said["about_safety"], to_waiting=said["to_waiting"])
            letter = mailings.preview_of(found, subject=said["subject"], words=said["words"])
            changed = bool(looked_at) and "preview" not in request.POST
            context |= {"found": found, "letter": letter, "mark": mark, "changed": changed}
        else:
            with refusals_on(form):
                sent = mailings.write_to_roster(day=day, actor=request.user, now=timezone.now(), **said)
                text = ngettext(
                    "The message goes to %(count)d person.", "The message goes to %(count)d people.", sent.people
                )
                messages.success(request, text % {"count": sent.people})
                return redirect(f"{request.path}#written")
    context["written"] = RosterMessage.objects.filter(day=day).with_progress()
    return render(request, "invites/write.html", context)


@require_POST
@group_page(Deed.POST_DAY)
def take_back(request: GroupRequest, pk: int, message: int) -> HttpResponse:
    """Stop what of a message has not gone out yet."""
    day = get_object_or_404(queries.day_of_group(request.group, pk))
    written = get_object_or_404(RosterMessage.objects.select_related("day__stand__site__group"), day=day, pk=message)
    stopped = mailings.take_back(message=written, actor=request.user, now=timezone.now())
    text = ngettext("%(count)d mail is stopped.", "%(count)d mails are stopped.", stopped)
    messages.success(request, text % {"count": stopped})
    return redirect("invites:write", request.group.slug, day.pk)
