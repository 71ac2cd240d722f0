"""Photos of checks: files first, then their rows, so that no row is without its file."""

import datetime
import hashlib
from collections.abc import Sequence

from django.core.files.base import ContentFile
from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import TooManyPhotos
from reedcrew.stands.models import CheckPhoto, IdentificationCheck
from reedcrew.web.photos import Photo

PHOTOS_OF_A_CHECK_MAX = 24  # what one check can show (convention)


@transaction.atomic
def add_photos(
    *,
    check: IdentificationCheck,
    photos: Sequence[Photo],
    actor: Account,
    now: datetime.datetime,
    keep_position: bool = False,
) -> list[CheckPhoto]:
    """Add photos to a check that is recorded already; one that it has already is not kept twice.

    Raises TooManyPhotos.
    """
    IdentificationCheck.objects.select_for_update(no_key=True).get(pk=check.pk)
    return keep_photos(check=check, photos=photos, keep_position=keep_position, actor=actor, now=now)


def keep_photos(
    *,
    check: IdentificationCheck,
    photos: Sequence[Photo],
    keep_position: bool,
    actor: Account,
    now: datetime.datetime,
) -> list[CheckPhoto]:
    """Keep photos of a check inside the caller's transaction, whose stand or check is locked. Raises TooManyPhotos."""
    there = set(check.photos.values_list("digest", flat=True))
    fresh = {digest: photo for photo in photos if (digest := _digest(photo)) not in there}
    if len(there) + len(fresh) > PHOTOS_OF_A_CHECK_MAX:
        raise TooManyPhotos(limit=PHOTOS_OF_A_CHECK_MAX, there=len(there))
    kept: list[CheckPhoto] = []
    try:
        for digest, photo in fresh.items():
            row = _row(check, photo, digest, keep_position=keep_position, actor=actor, now=now)
            kept.append(row)
            row.picture.save(f"{row.code}.jpg", ContentFile(photo.jpeg), save=False)
            row.thumbnail.save(f"{row.code}-small.jpg", ContentFile(photo.thumbnail), save=False)
            row.full_clean()
            row.save()
    except Exception:
        for row in kept:
            _remove_files(row)
        raise
    if kept:
        group = check.stand.site.group
        record(group=group, actor=actor, at=now, deed="photos added", subject=check, count=len(kept))
    return kept


@transaction.atomic
def remove_photo(*, photo: CheckPhoto, actor: Account, now: datetime.datetime) -> bool:
    """Remove a photo and, once that is certain, its files. False when it was gone already."""
    row = (
        CheckPhoto.objects.select_for_update(no_key=True, of=("self",))
        .select_related("check_of__stand__site__group")
        .filter(pk=photo.pk)
        .first()
    )
    if row is None:
        return False
    check = row.check_of
    record(group=check.stand.site.group, actor=actor, at=now, deed="photo removed", subject=check, photo=row.code)
    row.delete()
    transaction.on_commit(lambda: _remove_files(row))
    return True


# --- Private ---------------------------------------------------------------------------------------------------------


def _digest(photo: Photo) -> str:
    return hashlib.sha256(photo.jpeg).hexdigest()


def _row(
    check: IdentificationCheck,
    photo: Photo,
    digest: str,
    *,
    keep_position: bool,
    actor: Account,
    now: datetime.datetime,
) -> CheckPhoto:
    position = photo.position if keep_position else None
    return CheckPhoto(
        check_of=check,
        width=photo.width,
        height=photo.height,
        digest=digest,
        latitude=position.latitude if position else None,
        longitude=position.longitude if position else None,
        added_by=actor,
        added_at=now,
    )


def _remove_files(row: CheckPhoto) -> None:
    for file in (row.picture, row.thumbnail):
        if file.name:
            file.storage.delete(file.name)
