"""Takes in one photo of a phone."""

import datetime
import uuid
from typing import IO

from django.db import transaction

from reedcrew.fieldbook.models import Submission
from reedcrew.fieldbook.services.photos import add_photo
from reedcrew.fieldbook.sync.phones import likely, note_phone, offset_of, put_right
from reedcrew.fieldbook.sync.taking import Answer
from reedcrew.people.models import Account
from reedcrew.stands.models import Zone
from reedcrew.web.photos import read_photo
from reedcrew.workdays.models import WorkDay


def take_photo(
    *,
    day: WorkDay,
    entry_id: uuid.UUID,
    phone_key: uuid.UUID,
    kind: str,
    zone: Zone | None,
    file: IO[bytes],
    at: datetime.datetime,
    sent_at: datetime.datetime,
    author: Account,
    now: datetime.datetime,
) -> Answer:
    """Read, write anew and keep a photo; the same id again changes nothing.

    Raises what web.photos.read_photo and services.add_photo raise; then nothing is kept.
    """
    if Submission.objects.filter(day=day, entry_id=entry_id, kind=Submission.Kind.PHOTO).exists():
        return Answer(said_id=str(entry_id), outcome="again")
    photo = read_photo(file, name=str(getattr(file, "name", "") or ""))
    offset_s = offset_of(sent_at, now)
    with transaction.atomic():
        day = WorkDay.objects.held(day.pk)
        right = likely(day, put_right(at, offset_s) or now, now, Submission.Kind.PHOTO)
        add_photo(day=day, kind=kind, zone=zone, photo=photo, at=right, actor=author, now=now, entry_id=entry_id)
        phone = note_phone(day, phone_key, "", author, offset_s, now)
        sent = Submission.objects.filter(day=day, entry_id=entry_id)
        sent.update(phone=phone, phone_at=at, offset_s=offset_s)
    return Answer(said_id=str(entry_id), outcome="taken")
