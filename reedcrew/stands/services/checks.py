"""Checks of a stand's subspecies."""

import datetime
import uuid

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import CheckInFuture
from reedcrew.stands.models import IdentificationCheck, Stand
from reedcrew.stands.services.rows import locked
from reedcrew.stands.signals import identification_changed
from reedcrew.trade.identification import Identification


@transaction.atomic
def record_check(
    *,
    stand: Stand,
    result: Identification,
    characters: str,
    checked_on: datetime.date,
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> IdentificationCheck:
    """Keep who checked a stand, what they saw and what they decided; the stand takes the result of its latest check.

    Any result but INTRODUCED protects the stand: no work day can be posted on it (design, rule 2). A check of an
    earlier day than one that is recorded already is kept and changes nothing. The same ``submission`` again returns the
    first record.

    Raises CheckInFuture, RemovedMeanwhile, and ValidationError for a value that the model refuses.
    """
    row = locked(stand)
    if submission and (first := row.checks.filter(submission=submission).first()):
        return first
    today = now.astimezone(stand.site.zone_info).date()
    if checked_on > today:
        raise CheckInFuture(today=today.isoformat())
    check = IdentificationCheck(
        stand=row,
        result=result.value,
        characters=characters,
        checked_on=checked_on,
        decided_by=actor,
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
        result=result.value,
        checked_on=checked_on.isoformat(),
    )
    latest = row.checks.all()[0]
    if row.identification != latest.result:
        row.identification = latest.result
        row.save(update_fields=["identification"])
        identification_changed.send(Stand, stand=row, now=now)
    stand.identification = row.identification
    return check
