"""Grants and what counts toward them."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.grants import services
from reedcrew.grants.forms.grants import GrantForm
from reedcrew.grants.models import Grant
from reedcrew.grants.queries import ledger
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on


@require_GET
@group_page(Deed.SEE_HOURS)
def grants(request: GroupRequest) -> HttpResponse:
    shown = Grant.objects.filter(group=request.group).with_sums()
    return render(request, "grants/grants.html", {"grants": shown, "may_keep": request.member.may(Deed.KEEP_GRANTS)})


@require_GET
@group_page(Deed.SEE_HOURS)
def grant(request: GroupRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(Grant, group=request.group, pk=pk)
    context = {
        "grant": shown,
        "stands": shown.stands.select_related("site"),
        "sums": ledger.sums_of(ledger.Slice(group=request.group, grant=shown)),
        "unclaimed": ledger.unclaimed(shown),
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/grant.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def new_grant(request: GroupRequest) -> HttpResponse:
    form = GrantForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_grant(
                group=request.group, facts=form.facts(), actor=request.user, now=timezone.now()
            )
            messages.success(request, _("The grant is recorded."))
            return redirect("grants:grant", request.group.slug, made.pk)
    return render(request, "grants/edit_grant.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def edit_grant(request: GroupRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(Grant, group=request.group, pk=pk)
    form = GrantForm(request.POST or None, instance=shown, group=request.group)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.change_grant(grant=shown, facts=form.facts(), actor=request.user, now=timezone.now())
            messages.success(request, _("The grant is changed."))
            return redirect("grants:grant", request.group.slug, shown.pk)
    return render(request, "grants/edit_grant.html", {"form": form, "grant": shown})


@require_POST
@group_page(Deed.KEEP_GRANTS)
def claim(request: GroupRequest, pk: int) -> HttpResponse:
    """Count all eligible unclaimed hours toward the grant."""
    shown = get_object_or_404(Grant, group=request.group, pk=pk)
    count = services.claim_eligible(grant=shown, actor=request.user, now=timezone.now())
    text = ngettext("%(count)d entry now counts toward it.", "%(count)d entries now count toward it.", count)
    messages.success(request, text % {"count": count})
    return redirect("grants:grant", request.group.slug, shown.pk)
