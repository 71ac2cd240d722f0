"""Pages of one group: its start page, what it says of itself, its rules."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people import queries, services
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.first_steps import first_steps
from reedcrew.people.forms.group import EditGroupForm, RulesForm
from reedcrew.people.home import group_panels
from reedcrew.people.needs import decides, waiting_for
from reedcrew.people.policy import change_policy, policy_of
from reedcrew.people.roles import Deed
from reedcrew.people.water import missing_for_water
from reedcrew.web.errors import refusals_on


@require_GET
@group_page(Deed.SEE_GROUP)
def group(request: GroupRequest) -> HttpResponse:
    now = timezone.now()
    me = request.member
    context = {
        "group": request.group,
        "member": me,
        "missing": missing_for_water(me.profile, now.date()) if me.profile.water_ready else (),
        "may_keep": me.may(Deed.KEEP_GROUP),
        "may_add": me.may(Deed.KEEP_PEOPLE),
        "decides": decides(me),
        "waiting": waiting_for([me], now),
        "steps": first_steps(request.group, now) if me.may(Deed.KEEP_GROUP) else (),
        "panels": group_panels(request, now),
    }
    return render(request, "people/group.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GROUP)
def edit_group(request: GroupRequest) -> HttpResponse:
    initial = {name: getattr(request.group, name) for name in EditGroupForm.base_fields}
    form = EditGroupForm(request.POST or None, initial=initial)
    if form.is_valid():
        services.edit_group(group=request.group, **form.cleaned_data, actor=request.user, now=timezone.now())
        messages.success(request, _("Saved."))
        return redirect(request.group)
    return render(request, "people/edit_group.html", {"form": form, "group": request.group})


@require_GET
@group_page(Deed.SEE_GROUP)
def rules(request: GroupRequest) -> HttpResponse:
    context = {"rules": queries.rules_of(request.group), "may_keep": request.member.may(Deed.KEEP_GROUP)}
    return render(request, "people/rules.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_GROUP)
def change_rules(request: GroupRequest) -> HttpResponse:
    form = RulesForm(
        request.POST or None,
        policy=policy_of(request.group),
        current_version=queries.rules_version(request.group),
        last_change=queries.rules_last_change(request.group),
    )
    if form.is_valid():
        with refusals_on(form):
            change_policy(group=request.group, actor=request.user, now=timezone.now(), **form.values())
            messages.success(request, _("Saved. The new values hold for every plan from now on."))
            return redirect("people:rules", request.group.slug)
    return render(request, "people/change_rules.html", {"form": form})
