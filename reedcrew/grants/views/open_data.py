"""Open data of a group: what is published, choosing it, and the files."""

from collections.abc import Iterable

from django.contrib import messages
from django.http import Http404, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.grants.forms.open_data import OpenDataForm
from reedcrew.grants.models import Licence, OpenDataChoice
from reedcrew.grants.open_data import archive, geojson
from reedcrew.grants.open_data.licences import TERMS
from reedcrew.grants.open_data.rows import OpenRecords, open_records
from reedcrew.grants.services import choose_open_data
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.models import Group
from reedcrew.people.roles import Deed
from reedcrew.trade.blurring import Blurring
from reedcrew.web.errors import refusals_on


def _choice_of(group: Group) -> OpenDataChoice:
    """The group's choice, or the one that it has before it chooses: nothing is published."""
    found = OpenDataChoice.objects.filter(group=group).select_related("changed_by").first()
    return found or OpenDataChoice(group=group)


def _published(group: Group) -> OpenRecords:
    """What the group publishes, or 404."""
    choice = _choice_of(group)
    if not choice.published:
        raise Http404
    return open_records(group, Licence(choice.licence), Blurring(choice.blurring))


@require_GET
@group_page(Deed.SEE_SEASON)
def open_data(request: GroupRequest) -> HttpResponse:
    choice = _choice_of(request.group)
    context = {
        "choice": choice,
        "terms": TERMS[Licence(choice.licence)],
        "blurred": choice.blurring != Blurring.EXACT.value,
        "may_choose": request.member.may(Deed.KEEP_OPEN_DATA),
    }
    return render(request, "grants/open_data.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_OPEN_DATA)
def change_open_data(request: GroupRequest) -> HttpResponse:
    form = OpenDataForm(request.POST or None, choice=_choice_of(request.group))
    if form.is_valid():
        with refusals_on(form):
            chosen = choose_open_data(group=request.group, actor=request.user, now=timezone.now(), **form.values())
            said = _("The group publishes its open data.") if chosen.published else _("Nothing is published.")
            messages.success(request, said)
            return redirect("grants:open_data", request.group.slug)
    return render(request, "grants/change_open_data.html", {"form": form})


@require_GET
@group_page(Deed.SEE_SEASON)
def darwin_core(request: GroupRequest) -> StreamingHttpResponse:
    chunks = archive.archive_chunks(_published(request.group), now=timezone.now())
    return _file(chunks, f"{request.group.slug}-darwin-core.zip", archive.MEDIA_TYPE)


@require_GET
@group_page(Deed.SEE_SEASON)
def stands_geojson(request: GroupRequest) -> StreamingHttpResponse:
    text = geojson.stands_text(_published(request.group))
    return _file(text, f"{request.group.slug}-open-stands.geojson", geojson.MEDIA_TYPE)


def _file(content: Iterable[str] | Iterable[bytes], name: str, media_type: str) -> StreamingHttpResponse:
    """A download that is sent as it is made."""
    headers = {"Cache-Control": "private, no-store", "Content-Disposition": f'attachment; filename="{name}"'}
    return StreamingHttpResponse(content, content_type=media_type, headers=headers)
