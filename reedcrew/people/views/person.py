"""One person of a group: what they, their guardian, or for a person without account an organizer, tell."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from reedcrew.people import queries, services
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.forms.members import AddChildForm, EmergencyForm, WishForm
from reedcrew.people.forms.profile import ProfileForm
from reedcrew.people.models import Member, Wish
from reedcrew.people.roles import Deed
from reedcrew.people.views.members import fetch_person
from reedcrew.web.errors import refusals_on


def fetch_editable(request: GroupRequest, pk: int) -> Member:
    """A person for whom the reader may answer, or 404."""
    person = fetch_person(request, pk)
    if not queries.may_edit_person(person, request.member):
        raise Http404
    return person


@require_GET
@group_page(Deed.SEE_GROUP)
def member(request: GroupRequest, pk: int) -> HttpResponse:
    person, on = fetch_person(request, pk), timezone.now().date()
    context = {
        "person": person,
        "facts": queries.facts_of(person, on, request.member),
        "children": person.children.current().select_related("profile"),
        "wishes": queries.wishes_of(person) if queries.may_see_wishes(person, request.member) else None,
        "has_private": queries.has_private(person),
        "is_me": person == request.member,
        "may_edit": queries.may_edit_person(person, request.member),
        "may_keep": request.member.may(Deed.KEEP_PEOPLE),
        "may_take_out": queries.may_take_out(person, request.member),
        "may_add_child": person == request.member and queries.may_be_guardian(person, on),
    }
    return render(request, "people/member.html", context)


@require_http_methods(["GET", "POST"])
@group_page(Deed.SEE_GROUP)
def edit_profile(request: GroupRequest, pk: int) -> HttpResponse:
    person = fetch_editable(request, pk)
    form = ProfileForm(request.POST or None, member=person)
    if form.is_valid():
        with refusals_on(form):
            answers = form.answers()
            services.save_profile(member=person, answers=answers, actor=request.user, now=timezone.now())
            if answers.water_ready and answers.measures is None:
                messages.info(request, _("Saved. For work in water, answer the questions under “Water” as well."))
                return redirect("people:edit_profile", request.group.slug, person.pk)
            messages.success(request, _("Saved."))
            return redirect("people:member", request.group.slug, person.pk)
    return render(request, "people/edit_profile.html", {"form": form, "person": person})


@require_http_methods(["GET", "POST"])
@group_page(Deed.SEE_GROUP)
def emergency(request: GroupRequest, pk: int) -> HttpResponse:
    """Read and change one's own emergency contact and health note; for an organizer the reading is a recorded look."""
    person, now = fetch_editable(request, pk), timezone.now()
    if request.method == "POST":
        form = EmergencyForm(request.POST)
        if form.is_valid():
            services.save_private(member=person, **form.cleaned_data, actor=request.user, now=now)
            messages.success(request, _("Saved."))
            return redirect("people:member", request.group.slug, person.pk)
    else:
        record = services.look_at_private(
            member=person, by=request.member, now=now, why=_("to keep it for a person without an account")
        )
        form = EmergencyForm(initial={name: getattr(record, name) for name in EmergencyForm.base_fields})
    page = render(request, "people/emergency.html", {"form": form, "person": person})
    page["Cache-Control"] = "no-store"
    return page


@require_http_methods(["GET", "POST"])
@group_page(Deed.SEE_GROUP)
def wishes(request: GroupRequest, pk: int) -> HttpResponse:
    person = fetch_editable(request, pk)
    form = WishForm(request.POST or None, member=person)
    if form.is_valid():
        kind, other = Wish.Kind(form.cleaned_data["kind"]), form.cleaned_data["other"]
        with refusals_on(form):
            services.make_wish(member=person, other=other, kind=kind, actor=request.user, now=timezone.now())
            messages.success(request, _("Saved."))
            return redirect("people:wishes", request.group.slug, person.pk)
    context = {"form": form, "person": person, "wishes": queries.wishes_of(person)}
    return render(request, "people/wishes.html", context)


@require_POST
@group_page(Deed.SEE_GROUP)
def drop_wish(request: GroupRequest, pk: int, wish_pk: int) -> HttpResponse:
    person = fetch_editable(request, pk)
    wish = get_object_or_404(queries.wishes_of(person), pk=wish_pk)
    services.drop_wish(wish=wish, actor=request.user, now=timezone.now())
    messages.success(request, _("Taken back."))
    return redirect("people:wishes", request.group.slug, person.pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.SEE_GROUP)
def add_child(request: GroupRequest) -> HttpResponse:
    """A child of the reader."""
    form = AddChildForm(request.POST or None)
    if form.is_valid():
        with refusals_on(form):
            child = services.add_child(
                guardian=request.member, **form.cleaned_data, actor=request.user, now=timezone.now()
            )
            messages.success(request, _("%(name)s is in the group now.") % {"name": child.name})
            return redirect("people:edit_profile", request.group.slug, child.pk)
    return render(request, "people/add_child.html", {"form": form})
