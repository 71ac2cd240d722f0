"""The outbox page: what was sent, what waits, what was refused."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from reedcrew.invites import outbox as sending
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed

MAILS_A_PAGE = 50


@require_GET
@group_page(Deed.SEE_MAIL)
def outbox(request: GroupRequest) -> HttpResponse:
    mails = OutgoingMail.objects.of_group(request.group).for_list()
    page = Paginator(mails, MAILS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "invites/outbox.html", {"mails": page, "now": timezone.now()})


@require_POST
@group_page(Deed.SEE_MAIL)
def send_again(request: GroupRequest, pk: int) -> HttpResponse:
    mail = get_object_or_404(OutgoingMail.objects.of_group(request.group), pk=pk)
    sending.send_again(mail=mail, actor=request.user, now=timezone.now())
    messages.success(request, _("The mail is on its way again."))
    return redirect("invites:outbox", request.group.slug)
