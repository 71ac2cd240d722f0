"""One phone that is passed around: names, and signing oneself in and out. No account, nothing private."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from reedcrew.fieldbook import queries, services
from reedcrew.fieldbook.forms.people import FindForm, KioskNewcomerForm
from reedcrew.fieldbook.models import KioskLink
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stock.labels import qr_svg
from reedcrew.web.errors import ReedcrewError, refusals_on
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.views import fetch_day


@require_http_methods(["GET", "POST"])
@never_cache
@group_page(Deed.RUN_DAY)
def links(request: GroupRequest, pk: int) -> HttpResponse:
    """Make a link, which is shown this once, or revoke one."""
    day, now = fetch_day(request, pk), timezone.now()
    context: dict[str, object] = {"day": day}
    if request.method == "POST" and "revoke" in request.POST:
        keys = day.kiosk_links.filter(pk__in=[key for key in [request.POST["revoke"]] if key.isdecimal()][:1])
        services.revoke_kiosk_link(link=get_object_or_404(keys), actor=request.user, now=now)
        messages.success(request, _("The link is revoked: nobody signs in with it any more."))
        return redirect("fieldbook:kiosk_links", request.group.slug, day.pk)
    if request.method == "POST":
        try:
            _link, token = services.make_kiosk_link(day=day, actor=request.user, now=now)
            path = reverse("fieldbook:kiosk", args=[request.group.slug, day.pk, token])
            context["address"] = request.build_absolute_uri(path)
            context["qr"] = qr_svg(str(context["address"]))
        except ReedcrewError as refusal:
            messages.error(request, str(refusal))
    context["links"] = day.kiosk_links.filter(ends_at__gt=now, revoked_at=None).order_by("made_at", "pk")
    return render(request, "fieldbook/kiosk_links.html", context)


def _day_of(slug: str, pk: int, token: str) -> tuple[WorkDay, KioskLink]:
    """The day that a token opens. A token that is wrong, revoked or over answers like an address that never was."""
    day = get_object_or_404(WorkDay.objects.with_stand(), pk=pk, stand__site__group__slug=slug)
    link = queries.open_kiosk_link(day, token, timezone.now())
    if link is None:
        raise Http404
    return day, link


@require_http_methods(["GET", "POST"])
@never_cache
def kiosk(request: HttpRequest, slug: str, pk: int, token: str) -> HttpResponse:
    """The people of the day by name, one press each."""
    day, link = _day_of(slug, pk, token)
    if request.method == "POST":
        _press(request, day, link)
        return redirect("fieldbook:kiosk", slug, pk, token)
    find = FindForm(request.GET)
    context = {"day": day, "token": token, "people": find.among(queries.people_of(day)), "find": find}
    return render(request, "fieldbook/kiosk.html", context)


def _press(request: HttpRequest, day: WorkDay, link: KioskLink) -> None:
    """Sign in who is not here, sign out who is; in the name of who made the link."""
    now = timezone.now()
    people = {str(person.sign_up.member_id): person for person in queries.people_of(day)}
    person, wanted = people.get(request.POST.get("member", "")), request.POST.get("deed")
    if person is None:
        messages.error(request, _("This line is not on the list any more: ask the crew lead."))
        return
    try:
        if wanted == "in" and person.here is None:
            member = person.sign_up.member
            services.sign_in(day=day, member=member, in_water=person.in_water, at=now, actor=link.made_by, now=now)
            messages.success(request, _("%(name)s is signed in.") % {"name": person.name})
        elif wanted == "out" and person.here is not None:
            services.sign_out(attendance=person.here, at=now, actor=link.made_by, now=now)
            messages.success(request, _("%(name)s is signed out.") % {"name": person.name})
    except ReedcrewError as refusal:
        messages.error(request, str(refusal))


@require_http_methods(["GET", "POST"])
@never_cache
def newcomer(request: HttpRequest, slug: str, pk: int, token: str) -> HttpResponse:
    """Somebody who came without a place enters themselves; they start on land."""
    day, link = _day_of(slug, pk, token)
    form = KioskNewcomerForm(request.POST or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            now = timezone.now()
            stay = services.add_newcomer(day=day, at=now, actor=link.made_by, now=now, **form.newcomer())
            messages.success(request, _("Welcome, %(name)s. You are signed in.") % {"name": stay.member.given_name})
            return redirect("fieldbook:kiosk", slug, pk, token)
    return render(request, "fieldbook/kiosk_newcomer.html", {"day": day, "token": token, "form": form})
