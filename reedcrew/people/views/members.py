"""The people of a group: the list, and what an organizer decides of each."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from reedcrew.people import queries, services
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.forms.members import (
    AddMemberForm,
    LeaveForm,
    LookForm,
    SearchForm,
    SeveralPeopleForm,
    StandingForm,
)
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed, Role
from reedcrew.web.errors import refusals_on

PEOPLE_A_PAGE = 50


def fetch_person(request: GroupRequest, pk: int) -> Member:
    """A member of the request's group that the reader may open, or 404."""
    person = queries.person_for(request.member, pk)
    if person is None:
        raise Http404
    return person


@require_GET
@group_page(Deed.SEE_PEOPLE)
def members(request: GroupRequest) -> HttpResponse:
    search = SearchForm(request.GET)
    words = search.cleaned_data["q"] if search.is_valid() else ""
    page = Paginator(queries.people_of(request.group, words), PEOPLE_A_PAGE).get_page(request.GET.get("page"))
    on = timezone.now().date()
    context = {
        "search": search,
        "words": words,
        "page": page,
        "people": [queries.facts_of(person, on, request.member) for person in page],
        "may_keep": request.member.may(Deed.KEEP_PEOPLE),
    }
    return render(request, "people/members.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_PEOPLE)
def add_member(request: GroupRequest) -> HttpResponse:
    form = AddMemberForm(request.POST or None)
    if form.is_valid():
        facts = {**form.cleaned_data, "role": Role(form.cleaned_data["role"])}
        with refusals_on(form):
            member = services.add_member(group=request.group, **facts, actor=request.user, now=timezone.now())
            messages.success(request, _("%(name)s is in the group now.") % {"name": member.name})
            return redirect("people:member", request.group.slug, member.pk)
    return render(request, "people/add_member.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_PEOPLE)
def add_several(request: GroupRequest) -> HttpResponse:
    """Several volunteers at once, one a line."""
    form = SeveralPeopleForm(request.POST or None)
    if form.is_valid():
        people, adult = form.cleaned_data["people"], form.cleaned_data["adults"]
        with refusals_on(form):
            added = services.add_people(
                group=request.group, people=people, adult=adult, actor=request.user, now=timezone.now()
            )
            said = ngettext(
                "%(count)d person is in the group now.", "%(count)d people are in the group now.", len(added)
            )
            messages.success(request, said % {"count": len(added)})
            return redirect(request.group)
    return render(request, "people/add_several.html", {"form": form})


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_PEOPLE)
def standing(request: GroupRequest, pk: int) -> HttpResponse:
    person, now = fetch_person(request, pk), timezone.now()
    form = StandingForm(request.POST or None, member=person, on=now.date())
    if form.is_valid():
        facts = {"guardian": person.guardian, **form.cleaned_data, "role": Role(form.cleaned_data["role"])}
        with refusals_on(form):
            services.set_standing(member=person, **facts, actor=request.user, now=now)
            messages.success(request, _("Saved."))
            return redirect("people:member", request.group.slug, person.pk)
    return render(request, "people/standing.html", {"form": form, "person": person})


@require_http_methods(["GET", "POST"])
@group_page(Deed.SEE_GROUP)
def leave(request: GroupRequest, pk: int) -> HttpResponse:
    """Oneself, a child in one's care, or for an organizer anyone: asked once more, then taken out of the group."""
    person = fetch_person(request, pk)
    if not queries.may_take_out(person, request.member):
        raise Http404
    form = LeaveForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        depart = services.erase_member if form.cleaned_data["erase"] else services.leave
        name = person.name
        depart(member=person, actor=request.user, now=timezone.now())
        messages.success(request, _("%(name)s has left %(group)s.") % {"name": name, "group": request.group})
        return redirect("people:home" if person == request.member else request.group)
    context = {"form": form, "person": person, "children": person.children.current()}
    return render(request, "people/leave.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_PEOPLE)
def private(request: GroupRequest, pk: int) -> HttpResponse:
    """Ask why, record the look, then show the emergency contact and the health note; never kept by a browser."""
    person, form, record = fetch_person(request, pk), LookForm(request.POST or None), None
    if form.is_valid():
        with refusals_on(form):
            record = services.look_at_private(
                member=person, by=request.member, now=timezone.now(), why=form.cleaned_data["why"]
            )
    page = render(request, "people/private.html", {"form": form, "person": person, "record": record})
    page["Cache-Control"] = "no-store"
    return page
