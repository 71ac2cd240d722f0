"""Photos of checks as pictures of a report: which reed a stand was found to be."""

from collections.abc import Callable, Iterator

from django.urls import reverse
from django.utils.translation import gettext

from reedcrew.grants.reports.sources import PhotoQuestion, ReportPhoto
from reedcrew.stands.models import CheckPhoto


def check_photos(question: PhotoQuestion) -> Iterator[ReportPhoto]:
    """Small pictures of the checks of these stands in the period, the latest first. One query."""
    found = (
        CheckPhoto.objects.filter(
            check_of__stand__in=question.stands, check_of__checked_on__range=(question.first, question.last)
        )
        .select_related("check_of__stand")
        .order_by("-check_of__checked_on", "-pk")
    )
    for photo in found[: question.most]:
        stand = photo.check_of.stand
        yield ReportPhoto(
            name=f"check-{photo.pk}",
            caption=gettext("%(stand)s: check of the reed") % {"stand": stand.name},
            on=photo.check_of.checked_on,
            stand=stand.name,
            url=reverse("stands:check_photo_small", args=[question.group.slug, stand.pk, photo.code]),
            width=photo.width,
            height=photo.height,
            read=_reader(photo),
        )


def _reader(photo: CheckPhoto) -> Callable[[], bytes]:
    def read() -> bytes:
        with photo.thumbnail.open("rb") as file:
            return file.read()  # type: ignore[no-any-return]  # bytes, by its mode

    return read
