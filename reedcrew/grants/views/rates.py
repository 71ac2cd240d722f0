"""What an hour is worth: the table of values by role and date."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.grants import services
from reedcrew.grants.forms.grants import RateForm, WithdrawalForm
from reedcrew.grants.models import HourlyRate
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.queries import member_name
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on


@require_GET
@group_page(Deed.SEE_HOURS)
def rates(request: GroupRequest) -> HttpResponse:
    rows = HourlyRate.objects.filter(group=request.group).select_related("grant")
    named = rows.annotate(
        recorder=member_name(group="group", account="recorded_by"),
        withdrawer=member_name(group="group", account="withdrawn_by"),
    )
    context = {
        "rates": [row for row in named if row.withdrawn_at is None],
        "withdrawn": [row for row in named if row.withdrawn_at is not None],
        "may_keep": request.member.may(Deed.KEEP_GRANTS),
    }
    return render(request, "grants/rates.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def record_rate(request: GroupRequest) -> HttpResponse:
    """Enter a value; what is known of it may come in the address, as from a grant that lacks it."""
    known = {name: request.GET[name] for name in ("role", "since", "currency") if name in request.GET}
    form = RateForm(request.POST or None, group=request.group, initial=known)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_rate(group=request.group, facts=form.facts(), actor=request.user, now=timezone.now())
            messages.success(request, _("The value is recorded."))
            return redirect("grants:rates", request.group.slug)
    return render(request, "grants/record_rate.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GRANTS)
def withdraw_rate(request: GroupRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(HourlyRate.objects.standing(), group=request.group, pk=pk)
    form = WithdrawalForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.withdraw_rate(rate=row, actor=request.user, now=timezone.now(), **form.cleaned_data)
            messages.success(request, _("The value holds no more. It stays in the list of withdrawn ones."))
            return redirect("grants:rates", request.group.slug)
    return render(request, "grants/withdraw_rate.html", {"form": form, "rate": row})
