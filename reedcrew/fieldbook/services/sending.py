"""What a page writes is kept as it was sent too, like a phone's entry: a later fold of the day knows it."""

import datetime
import json
import uuid
from collections.abc import Mapping
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.models import Attendance, Submission
from reedcrew.fieldbook.sync.contract import PRIVATE_KINDS, digest_of
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


def keep_sent(
    *,
    day: WorkDay,
    kind: str,
    data: Mapping[str, Any],
    at: datetime.datetime,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> None:
    """Keep an entry of a page. One that is there with this id already stays, such as a phone's walk-up."""
    entry_id = entry_id or uuid.uuid4()
    if Submission.objects.filter(day=day, entry_id=entry_id).exists():
        return
    is_private = kind in PRIVATE_KINDS
    Submission.objects.create(
        day=day,
        entry_id=entry_id,
        digest=digest_of(kind, at, data),
        author=actor,
        kind=kind,
        data={} if is_private else dict(data),
        private=json.dumps(data, cls=DjangoJSONEncoder) if is_private else "",
        phone_at=at,
        at=at,
        received_at=now,
        member_id=data.get("member"),
    )


def sent_before(*, day: WorkDay, entry_id: uuid.UUID | None, kind: str, data: Mapping[str, Any]) -> bool:
    """Whether this form was written down already, as after a double press.

    Raises EntryOfAnotherDay for an id that was given on another day, and SentAlready where it said something else.
    """
    if entry_id is None:
        return False
    earlier = Submission.objects.filter(entry_id=entry_id).first()
    if earlier is None:
        return False
    if earlier.day_id != day.pk:
        raise errors.EntryOfAnotherDay
    if (earlier.kind, earlier.data) != (kind, dict(data)):
        raise errors.SentAlready
    return True


def after_sign_in(stay: Attendance, at: datetime.datetime) -> datetime.datetime:
    """A time of leaving as it is kept: not before the second of coming, as stays are told in whole minutes."""
    came_at = Submission.objects.filter(day=stay.day_id, entry_id=stay.pk).values_list("at", flat=True).first()
    return max(at, came_at or stay.signed_in_at)


def after_sign_out(stay: Attendance | None, at: datetime.datetime) -> datetime.datetime:
    """A time of coming back as it is kept: after the moment of having left, which may be in the same minute."""
    if stay is None:
        return at
    left = Submission.objects.filter(day=stay.day_id, kind=Submission.Kind.SIGN_OUT, data__stay=str(stay.pk))
    left_at = left.order_by("-at").values_list("at", flat=True).first()
    return max(at, left_at + datetime.timedelta(microseconds=1)) if left_at else at
