"""Pages of checks of a stand's subspecies, and of their photos."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.stands import queries, services
from reedcrew.stands.forms import CheckForm, PhotosForm
from reedcrew.stands.models import CheckPhoto, IdentificationCheck, Stand
from reedcrew.stands.views.stands import fetch_stand
from reedcrew.stands.words import WEIGHTS
from reedcrew.trade.identification import CHARACTERS
from reedcrew.web.errors import refusals_on

CHECKS_A_PAGE = 25
PHOTO_AGE_S = 3600  # a browser keeps a photo for its reader alone; a removed one is gone within the hour


def fetch_check(stand: Stand, pk: int) -> IdentificationCheck:
    """The check with this key of a stand that was fetched for the request, or 404."""
    return get_object_or_404(queries.checks_of(stand).select_related("stand__site__group"), pk=pk)


@require_http_methods(["GET", "POST"])
@group_page(Deed.CHECK_REED)
def record_check(request: GroupRequest, pk: int) -> HttpResponse:
    shown = fetch_stand(request, pk)
    now = timezone.now()
    form = CheckForm(
        request.POST or None,
        request.FILES or None,
        initial={"checked_on": now.astimezone(shown.site.zone_info).date()},
        may_keep=request.member.may(Deed.KEEP_STANDS),
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = services.record_check(stand=shown, actor=request.user, now=now, **form.facts)
            messages.success(request, _("The check is recorded. Below stands what it finds, and why."))
            return redirect(made)
    return render(request, "stands/record_check.html", {"form": form, "stand": shown})


@require_safe
@group_page(Deed.SEE_GROUP)
def check(request: GroupRequest, pk: int, check: int) -> HttpResponse:
    """What one check saw and found."""
    shown = fetch_check(fetch_stand(request, pk), check)
    context = {
        "stand": shown.stand,
        "check": shown,
        "finding": shown.finding,
        "lines": [(each, CHARACTERS[each.character], WEIGHTS[each.weight]) for each in shown.finding.evidence],
        "photos": shown.photos.all(),
        "may_add": _may_add(request, shown),
        "may_keep": request.member.may(Deed.KEEP_STANDS),
    }
    return render(request, "stands/check.html", context)


@require_safe
@group_page(Deed.SEE_GROUP)
def checks(request: GroupRequest, pk: int) -> HttpResponse:
    """All checks of a stand and what they found."""
    shown = fetch_stand(request, pk)
    page = Paginator(queries.checks_of(shown), CHECKS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "stands/checks.html", {"stand": shown, "page": page})


@require_safe
@group_page(Deed.SEE_GROUP)
def characters(request: GroupRequest) -> HttpResponse:
    """How the two are told apart: every character, how decisive it is, and who published it."""
    lines = [(facts, WEIGHTS[facts.weight]) for facts in CHARACTERS.values()]
    return render(request, "stands/check_characters.html", {"lines": lines})


@require_http_methods(["GET", "POST"])
@group_page(Deed.CHECK_REED)
def add_photos(request: GroupRequest, pk: int, check: int) -> HttpResponse:
    shown = fetch_check(fetch_stand(request, pk), check)
    if not _may_add(request, shown):
        raise PermissionDenied
    form = PhotosForm(request.POST or None, request.FILES or None, may_keep=request.member.may(Deed.KEEP_STANDS))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            kept = services.add_photos(check=shown, actor=request.user, now=timezone.now(), **form.cleaned_data)
            said = ngettext("%(count)d photo is added.", "%(count)d photos are added.", len(kept))
            messages.success(request, said % {"count": len(kept)})
            return redirect(shown)
    return render(request, "stands/add_check_photos.html", {"form": form, "stand": shown.stand, "check": shown})


@require_safe
@group_page(Deed.SEE_GROUP)
def photo(request: GroupRequest, pk: int, code: str, small: bool = False) -> FileResponse:
    """The file of a photo, for members of its group alone."""
    shown = get_object_or_404(CheckPhoto, code=code, check_of__stand=fetch_stand(request, pk))
    kept = shown.thumbnail if small else shown.picture
    try:
        answer = FileResponse(kept.open("rb"), content_type="image/jpeg", filename=f"{shown.code}.jpg")
    except FileNotFoundError as error:
        raise Http404 from error
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = f"private, max-age={PHOTO_AGE_S}"
    return answer


@require_http_methods(["GET", "POST"])
@group_page(Deed.KEEP_STANDS)
def remove_photo(request: GroupRequest, pk: int, code: str) -> HttpResponse:
    """Ask, then remove; a second press finds the photo gone and says so."""
    stand = fetch_stand(request, pk)
    shown = CheckPhoto.objects.filter(code=code, check_of__stand=stand).select_related("check_of").first()
    if shown is None:
        messages.info(request, _("The photo is not there any more."))
        return redirect(stand)
    check = fetch_check(stand, shown.check_of_id)
    if request.method == "POST":
        services.remove_photo(photo=shown, actor=request.user, now=timezone.now())
        messages.success(request, _("The photo is removed."))
        return redirect(check)
    return render(request, "stands/remove_check_photo.html", {"stand": stand, "check": check, "photo": shown})


def _may_add(request: GroupRequest, check: IdentificationCheck) -> bool:
    return check.checked_by_id == request.user.pk or request.member.may(Deed.KEEP_STANDS)
