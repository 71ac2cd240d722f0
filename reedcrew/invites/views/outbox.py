"""The outbox page: what was sent, what waits, what was refused."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from reedcrew.invites import outbox as sending
from reedcrew.invites import queries
from reedcrew.invites.models import OutgoingMail
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed

MAILS_A_PAGE = 50


@require_GET
@group_page(Deed.SEE_MAIL)
def outbox(request: GroupRequest) -> HttpResponse:
    """All mails, or those of one state; a state that there is not shows all."""
    mails = OutgoingMail.objects.of_group(request.group)
    state = request.GET.get("state", "")
    chosen = state if state in OutgoingMail.State.values else ""
    shown = mails.filter(state=chosen) if chosen else mails
    context = {
        "mails": Paginator(shown.for_list(), MAILS_A_PAGE).get_page(request.GET.get("page")),
        "states": queries.states_of(mails.numbers(), chosen),
        "chosen": chosen,
        "now": timezone.now(),
    }
    return render(request, "invites/outbox.html", context)


@require_GET
@group_page(Deed.SEE_MAIL)
def mail(request: GroupRequest, pk: int) -> HttpResponse:
    """One mail: what it says, and how it went."""
    found = get_object_or_404(
        OutgoingMail.objects.of_group(request.group).select_related("sign_up__member", "sign_up__day"), pk=pk
    )
    context = {"mail": found, "words": queries.words_of(found), "now": timezone.now()}
    return render(request, "invites/outgoing_mail.html", context)


@require_POST
@group_page(Deed.SEE_MAIL)
def send_again(request: GroupRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(OutgoingMail.objects.of_group(request.group), pk=pk)
    sending.send_again(mail=found, actor=request.user, now=timezone.now())
    messages.success(request, _("The mail is on its way again."))
    return redirect("invites:mail", request.group.slug, pk)
