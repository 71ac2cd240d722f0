"""Pictures of a report: how zones looked before and after the work, and which reed a stand was found to be."""

from collections.abc import Callable, Collection, Sequence

from django.db.models import F, Window
from django.db.models.fields.files import FieldFile
from django.db.models.functions import RowNumber
from django.urls import reverse
from django.utils.translation import gettext

from reedcrew.fieldbook.models import DayPhoto
from reedcrew.grants.reports.records import ReportPhoto
from reedcrew.grants.reports.scope import Scope
from reedcrew.stands.models import CheckPhoto

PHOTOS_MOST = 12  # in one report (convention)


def photos_of(scope: Scope, *, stands: Collection[int], days: Sequence[int]) -> tuple[ReportPhoto, ...]:
    """Small pictures of these days, and of checks of these stands in the period, by date; the latest where there are
    too many, of either as many as there is room for beside the other. Two queries.
    """
    checks, of_days = _check_photos(scope, stands), _day_photos(scope, days)
    half = PHOTOS_MOST // 2
    room_for_checks = max(half, PHOTOS_MOST - len(of_days))
    room_for_days = max(PHOTOS_MOST - half, PHOTOS_MOST - len(checks))
    return tuple(sorted([*checks[:room_for_checks], *of_days[:room_for_days]], key=lambda each: (each.on, each.name)))


# --- Private ---------------------------------------------------------------------------------------------------------


def _check_photos(scope: Scope, stands: Collection[int]) -> list[ReportPhoto]:
    found = (
        CheckPhoto.objects.filter(check_of__stand__in=stands, check_of__checked_on__range=(scope.first, scope.last))
        .select_related("check_of__stand")
        .order_by("-check_of__checked_on", "-pk")
    )
    slug = scope.grant.group.slug
    return [
        ReportPhoto(
            name=f"check-{photo.pk}",
            caption=gettext("%(stand)s: check of the reed") % {"stand": photo.check_of.stand.name},
            on=photo.check_of.checked_on,
            url=reverse("stands:check_photo_small", args=[slug, photo.check_of.stand_id, photo.code]),
            width=photo.width,
            height=photo.height,
            read=_reader(photo.thumbnail),
        )
        for photo in found[:PHOTOS_MOST]
    ]


def _day_photos(scope: Scope, days: Sequence[int]) -> list[ReportPhoto]:
    """The first photo of each zone before the work of a day, and the first after it."""
    number = Window(
        RowNumber(), partition_by=[F("day"), F("zone"), F("kind")], order_by=[F("entered_at").asc(), F("pk").asc()]
    )
    found = (
        DayPhoto.objects.standing()
        .filter(day__in=days)
        .annotate(number=number)
        .filter(number=1)
        .select_related("day__stand", "zone")
        .order_by("-day__date", "-day", "zone", "-kind")
    )
    captions = {
        DayPhoto.Kind.BEFORE.value: gettext("%(place)s: before the work"),
        DayPhoto.Kind.AFTER.value: gettext("%(place)s: after the work"),
    }
    slug = scope.grant.group.slug
    return [
        ReportPhoto(
            name=f"day-{photo.day_id}-{photo.zone_id or 0}-{list(captions).index(photo.kind) + 1}-{photo.kind}",
            caption=captions[photo.kind] % {"place": _place(photo)},
            on=photo.day.date,
            url=reverse("fieldbook:day_photo_small", args=[slug, photo.day_id, photo.code]),
            width=photo.width,
            height=photo.height,
            read=_reader(photo.thumbnail),
        )
        for photo in found[:PHOTOS_MOST]
    ]


def _place(photo: DayPhoto) -> str:
    stand = photo.day.stand.name
    return f"{stand}, {photo.zone.name}" if photo.zone else stand


def _reader(file: FieldFile) -> Callable[[], bytes]:
    def read() -> bytes:
        with file.open("rb") as opened:
            return opened.read()  # type: ignore[no-any-return]  # bytes, by its mode

    return read
