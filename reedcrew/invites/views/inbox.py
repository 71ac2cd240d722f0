"""The inbox page: what came in, what it changed, what asks for an organizer's eyes."""

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from reedcrew.invites import addresses, looking
from reedcrew.invites.models import IncomingMail
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed

MAILS_A_PAGE = 25


def _fetch(request: GroupRequest, pk: int) -> IncomingMail:
    return get_object_or_404(IncomingMail.objects.of_group(request.group).for_list(), pk=pk)


@require_GET
@group_page(Deed.SEE_MAIL)
def inbox(request: GroupRequest) -> HttpResponse:
    mails = IncomingMail.objects.of_group(request.group).for_list()
    page = Paginator(mails, MAILS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "invites/inbox.html", {"mails": page, "reads_mail": bool(settings.IMAP_URL)})


@require_POST
@group_page(Deed.SEE_MAIL)
def seen(request: GroupRequest, pk: int) -> HttpResponse:
    looking.mark_seen(mail=_fetch(request, pk), actor=request.user, now=timezone.now())
    return redirect("invites:inbox", request.group.slug)


@require_POST
@group_page(Deed.SEE_MAIL)
def clear_address(request: GroupRequest, pk: int) -> HttpResponse:
    mail = _fetch(request, pk)
    addresses.clear(group=request.group, address=mail.sender, actor=request.user, now=timezone.now())
    looking.mark_seen(mail=mail, actor=request.user, now=timezone.now())
    messages.success(request, _("Mail to %(address)s is tried again.") % {"address": mail.sender})
    return redirect("invites:inbox", request.group.slug)
