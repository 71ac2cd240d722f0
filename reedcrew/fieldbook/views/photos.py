"""Photos of before and after, for the people of the group."""

from django.contrib import messages
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from reedcrew.fieldbook import services
from reedcrew.fieldbook.forms.work import DayPhotosForm
from reedcrew.fieldbook.models import DayPhoto
from reedcrew.people.access import GroupRequest, group_page
from reedcrew.people.roles import Deed
from reedcrew.web.errors import refusals_on
from reedcrew.workdays.views import fetch_day

PHOTO_AGE_S = 3600  # a browser keeps a photo for its reader alone


@require_http_methods(["GET", "POST"])
@group_page(Deed.RUN_DAY)
def photos(request: GroupRequest, pk: int) -> HttpResponse:
    day, now = fetch_day(request, pk), timezone.now()
    form = DayPhotosForm(request.POST or None, request.FILES or None, day=day)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            data = form.cleaned_data
            for photo in data["photos"]:
                services.add_photo(
                    day=day, kind=data["kind"], zone=data["zone"], photo=photo, at=now, actor=request.user, now=now
                )
            said = ngettext("%(count)d photo is kept.", "%(count)d photos are kept.", len(data["photos"]))
            messages.success(request, said % {"count": len(data["photos"])})
            return redirect("fieldbook:photos", request.group.slug, day.pk)
    shown = DayPhoto.objects.standing().filter(day=day).select_related("zone").order_by("kind", "entered_at", "pk")
    groups = [(label, [each for each in shown if each.kind == kind]) for kind, label in DayPhoto.Kind.choices]
    return render(request, "fieldbook/photos.html", {"day": day, "form": form, "groups": groups})


@require_safe
@group_page(Deed.SEE_GROUP)
def day_photo(request: GroupRequest, pk: int, code: str, small: bool = False) -> FileResponse:
    """The file of a photo, for members of its group alone."""
    shown = get_object_or_404(DayPhoto.objects.standing(), code=code, day=fetch_day(request, pk))
    kept = shown.thumbnail if small else shown.picture
    try:
        answer = FileResponse(kept.open("rb"), content_type="image/jpeg", filename=f"{shown.code}.jpg")
    except FileNotFoundError as error:
        raise Http404 from error
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = f"private, max-age={PHOTO_AGE_S}"
    return answer
