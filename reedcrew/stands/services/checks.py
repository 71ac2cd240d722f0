"""Checks of a stand's subspecies, and what their findings change."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import CheckInFuture, NothingObserved
from reedcrew.stands.models import IdentificationCheck, Stand
from reedcrew.stands.queries import standing_of
from reedcrew.stands.services.photos import keep_photos
from reedcrew.stands.services.rows import locked
from reedcrew.stands.signals import identification_changed
from reedcrew.trade.identification import Observation, Opinion, identify, to_record
from reedcrew.web.photos import Photo


@transaction.atomic
def record_check(
    *,
    stand: Stand,
    observation: Observation,
    checked_on: datetime.date,
    actor: Account,
    now: datetime.datetime,
    opinion: Opinion | None = None,
    note: str = "",
    photos: Sequence[Photo] = (),
    keep_position: bool = False,
    submission: uuid.UUID | None = None,
) -> IdentificationCheck:
    """Keep what somebody saw of a stand, with photos, and what that finds. Any member of the group may.

    It opens no stand: that is an organizer's decision. A finding of native reed after a decision for the introduced one
    closes the stand at once (trade.identification.standing). ``opinion`` and ``keep_position`` are an organizer's to
    give. The same ``submission`` again returns the first record.

    Raises CheckInFuture, NothingObserved, RemovedMeanwhile, UnusableInput for a measure that no reed can have, and
    ValidationError for a value that the model refuses.
    """
    row = locked(stand)
    if submission and (first := row.checks.filter(submission=submission).first()):
        return first
    today = now.astimezone(stand.site.zone_info).date()
    if checked_on > today:
        raise CheckInFuture(today=today)
    if observation.is_empty and opinion is None:
        raise NothingObserved
    finding = identify(observation, opinion)
    check = IdentificationCheck(
        stand=row,
        observation=to_record(observation),
        result=finding.result.value,
        native_sign=finding.native_sign,
        asked=opinion.source.value if opinion else "",
        asked_name=opinion.name if opinion else "",
        asked_result=opinion.result.value if opinion else "",
        note=note,
        checked_on=checked_on,
        checked_by=actor,
        recorded_at=now,
        submission=submission,
    )
    check.full_clean()
    check.save()
    record(
        group=stand.site.group,
        actor=actor,
        at=now,
        deed="identification checked",
        subject=row,
        result=finding.result.value,
        checked_on=checked_on.isoformat(),
    )
    apply_standing(row, now=now)
    stand.identification = row.identification
    keep_photos(check=check, photos=photos, keep_position=keep_position, actor=actor, now=now)
    return check


def apply_standing(row: Stand, *, now: datetime.datetime) -> None:
    """Give a locked stand what holds by its decision and checks, and tell who rests on it when that changed."""
    held = standing_of(row).result.value
    if row.identification != held:
        row.identification = held
        row.save(update_fields=["identification"])
        identification_changed.send(Stand, stand=row, now=now)
