"""Photos of before and after: files first, then their row, so that no row is without its file."""

import datetime
import hashlib
import uuid

from django.core.files.base import ContentFile
from django.db import transaction

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.models import DayPhoto
from reedcrew.fieldbook.services.entries import entered, open_day
from reedcrew.fieldbook.services.sending import keep_sent
from reedcrew.people.models import Account
from reedcrew.stands.models import Zone
from reedcrew.web.photos import Photo
from reedcrew.workdays.models import WorkDay

PHOTOS_OF_A_DAY_MAX = 100  # (convention)


@transaction.atomic
def add_photo(
    *,
    day: WorkDay,
    kind: str,
    zone: Zone | None,
    photo: Photo,
    at: datetime.datetime,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> DayPhoto:
    """Keep a photo that web.photos has written anew. The same ``entry_id`` or the same picture again changes nothing.

    Raises FieldbookClosed, EntryOfAnotherDay, ZoneOfAnotherDay or TooManyDayPhotos.
    """
    day = open_day(day)
    if earlier := entered(DayPhoto, day, entry_id):
        return earlier
    if zone is not None and not day.zones.filter(pk=zone.pk).exists():
        raise errors.ZoneOfAnotherDay
    digest = hashlib.sha256(photo.jpeg).hexdigest()
    there = DayPhoto.objects.standing().filter(day=day)
    if same := there.filter(digest=digest, kind=kind, zone=zone).first():
        return same
    if there.count() >= PHOTOS_OF_A_DAY_MAX:
        raise errors.TooManyDayPhotos(limit=PHOTOS_OF_A_DAY_MAX)
    entry_id = entry_id or uuid.uuid4()
    said = {"kind": kind, "zone": zone.pk if zone else None}
    keep_sent(day=day, kind="photo", data=said, at=at, actor=actor, now=now, entry_id=entry_id)
    row = DayPhoto(
        id=entry_id,
        day=day,
        kind=kind,
        zone=zone,
        width=photo.width,
        height=photo.height,
        digest=digest,
        entered_by=actor,
        entered_at=at,
    )
    try:
        row.picture.save(f"{row.code}.jpg", ContentFile(photo.jpeg), save=False)
        row.thumbnail.save(f"{row.code}-small.jpg", ContentFile(photo.thumbnail), save=False)
        row.save(force_insert=True)
    except Exception:
        for file in (row.picture, row.thumbnail):
            if file.name:
                file.storage.delete(file.name)
        raise
    return row
