"""The only way into a group's pages: through membership and the table of deeds; absent and not-yours answer alike."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone

from reedcrew.people import security_log
from reedcrew.people.models import Account, Group, Member
from reedcrew.people.roles import Deed
from reedcrew.people.second_step import waits_for_second_step

P = ParamSpec("P")


class GroupRequest(HttpRequest):
    """A request of a signed-in member on a page of one group."""

    user: Account  # login_required has run
    group: Group
    member: Member


def group_page(
    deed: Deed,
) -> Callable[[Callable[Concatenate[GroupRequest, P], HttpResponseBase]], Callable[..., HttpResponseBase]]:
    """Open a view to the members of ``/g/<slug>/…`` whose role may do ``deed``.

    Signed out: to the sign-in page and back. Not a member, or no such group: 404. A member whose role may not: 403.
    Who must have a second step first is led to it.
    """

    def decorate(view: Callable[Concatenate[GroupRequest, P], HttpResponseBase]) -> Callable[..., HttpResponseBase]:
        @wraps(view)
        def guarded(request: GroupRequest, slug: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            member = (
                Member.objects.current()
                .of_account(request.user)
                .filter(group__slug=slug)
                .select_related("group")
                .first()
            )
            if member is None:
                security_log.note_absent(request)
                raise Http404
            request.group, request.member = member.group, member
            if not member.may(deed):
                security_log.note_refused(request, group=member.group_id, deed=deed.name)
                raise PermissionDenied
            if waits_for_second_step(member, deed, timezone.now()):
                return redirect("people:second_step")
            return view(request, *args, **kwargs)

        guarded.deed = deed  # type: ignore[attr-defined]  # read by the test that walks every address
        return login_required(guarded)

    return decorate
