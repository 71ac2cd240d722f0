"""Webhooks of a group: given, paused, removed and taken back, and what was sent to them."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.api import queries, services
from reedcrew.api.forms import WebhookForm
from reedcrew.api.models import Delivery, Webhook
from reedcrew.api.services.deliveries import TRIES_MAX
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on

TO_SHOW = "webhook_to_show"  # the key of the webhook whose secret the next page shows, not the secret


def _fetch(request: GroupRequest, pk: int) -> Webhook:
    return get_object_or_404(Webhook.objects.of_group(request.group).select_related("group"), pk=pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_WEBHOOKS)
def new_webhook(request: GroupRequest) -> HttpResponse:
    form = WebhookForm(request.POST or None)
    if form.is_valid():
        with refusals_on(form):
            added = services.add_webhook(group=request.group, **form.values(), actor=request.user, now=timezone.now())
            request.session[TO_SHOW] = added.pk
            return redirect("api:webhook", request.group.slug, added.pk)
    return render(request, "api/new_webhook.html", {"form": form})


@never_cache
@require_GET
@group_page(Deed.KEEP_WEBHOOKS)
def webhook(request: GroupRequest, pk: int) -> HttpResponse:
    """One webhook with its last messages. A new secret is shown here, once."""
    found = _fetch(request, pk)
    show_secret = request.session.get(TO_SHOW) == found.pk
    if show_secret:
        del request.session[TO_SHOW]
    now = timezone.now()
    context = {
        "webhook": found,
        "deliveries": queries.deliveries_of(found),
        "secret": found.secret if show_secret else "",
        "both_hold": len(found.secrets_at(now)) > 1,
        "tries_most": TRIES_MAX,
        "now": now,
    }
    return render(request, "api/webhook.html", context)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def new_secret(request: GroupRequest, pk: int) -> HttpResponse:
    found = services.new_secret(webhook=_fetch(request, pk), actor=request.user, now=timezone.now())
    request.session[TO_SHOW] = found.pk
    return redirect("api:webhook", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def trial(request: GroupRequest, pk: int) -> HttpResponse:
    services.send_trial(webhook=_fetch(request, pk), now=timezone.now())
    messages.success(request, _("A trial is on its way. Look again in a moment."))
    return redirect("api:webhook", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def pause(request: GroupRequest, pk: int) -> HttpResponse:
    services.pause_webhook(webhook=_fetch(request, pk), actor=request.user, now=timezone.now())
    messages.success(request, _("The webhook is paused: the program is told nothing."))
    return redirect("api:webhook", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def resume(request: GroupRequest, pk: int) -> HttpResponse:
    services.resume_webhook(webhook=_fetch(request, pk), actor=request.user, now=timezone.now())
    messages.success(request, _("The webhook goes on: the program is told of what happens from now on."))
    return redirect("api:webhook", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def remove(request: GroupRequest, pk: int) -> HttpResponse:
    services.remove_webhook(webhook=_fetch(request, pk), actor=request.user, now=timezone.now())
    messages.success(request, _("The webhook is removed. For a month you can take that back here."))
    return redirect("api:webhook", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def restore(request: GroupRequest, pk: int) -> HttpResponse:
    services.restore_webhook(webhook=_fetch(request, pk), actor=request.user, now=timezone.now())
    messages.success(request, _("The webhook is back, as it was."))
    return redirect("api:webhook", request.group.slug, pk)


@require_POST
@group_page(Deed.KEEP_WEBHOOKS)
def send_again(request: GroupRequest, pk: int, delivery: int) -> HttpResponse:
    found = get_object_or_404(Delivery.objects.filter(webhook=_fetch(request, pk)), pk=delivery)
    services.send_again(delivery=found, actor=request.user, now=timezone.now())
    messages.success(request, _("The message is on its way again."))
    return redirect("api:webhook", request.group.slug, pk)
