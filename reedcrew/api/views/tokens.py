"""The page of other programs, and tokens: made, shown once, revoked."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.api import examples, queries, services
from reedcrew.api.forms import TokenForm
from reedcrew.api.models import ApiToken
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on

SHOWN_ONCE = "new_api_token"


@never_cache
@require_GET
@group_page(Deed.KEEP_TOKENS)
def programs(request: GroupRequest) -> HttpResponse:
    """Tokens of the group, and where the member may keep them its webhooks. A new token is shown here, once."""
    may_keep_webhooks = request.member.may(Deed.KEEP_WEBHOOKS)
    context = {
        "tokens": queries.tokens_of(request.group),
        "ended": queries.ended_tokens_of(request.group),
        "webhooks": queries.webhooks_of(request.group) if may_keep_webhooks else (),
        "may_keep_webhooks": may_keep_webhooks,
        "secret": request.session.pop(SHOWN_ONCE, ""),
        "first_question": examples.EXAMPLES[0],
        "message": examples.message_text(),
        "now": timezone.now(),
    }
    return render(request, "api/programs.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_TOKENS)
def new_token(request: GroupRequest) -> HttpResponse:
    form = TokenForm(request.POST or None, role=request.member.role)
    if form.is_valid():
        now = timezone.now()
        with refusals_on(form):
            made = services.make_token(member=request.member, **form.values(now), now=now)
            if made.secret is None:
                messages.info(request, _("This token was made already; its secret was shown that once."))
            else:
                request.session[SHOWN_ONCE] = made.secret
            return redirect("api:programs", request.group.slug)
    return render(request, "api/new_token.html", {"form": form})


@require_POST
@group_page(Deed.KEEP_TOKENS)
def revoke(request: GroupRequest, pk: int) -> HttpResponse:
    token = get_object_or_404(ApiToken.objects.of_group(request.group), pk=pk)
    services.revoke_token(token=token, actor=request.user, now=timezone.now())
    messages.success(request, _("The token “%(name)s” does not open anything any more.") % {"name": token.name})
    return redirect("api:programs", request.group.slug)
