"""A person has looked at an entry from a phone that could not be taken as it was."""

import datetime

from django.db import transaction

from reedcrew.fieldbook.models import Submission
from reedcrew.people.audit import record
from reedcrew.people.models import Account


@transaction.atomic
def settle_entry(*, sent: Submission, note: str, actor: Account, now: datetime.datetime) -> Submission:
    """Note that the entry is dealt with and how; nothing is removed. Again: the first note stands."""
    held = (
        Submission.objects.select_for_update(no_key=True, of=("self",))
        .select_related("day__stand__site__group")
        .get(pk=sent.pk)
    )
    if held.settled_at is None:
        held.settled_at, held.settled_by, held.settled_note = now, actor, note
        held.save(update_fields=["settled_at", "settled_by", "settled_note"])
        record(group=held.day.group, actor=actor, at=now, deed="phone entry settled", subject=held)
    return held
