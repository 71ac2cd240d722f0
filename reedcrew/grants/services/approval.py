"""Approving the lines of a day, which locks them, and opening them again with a reason."""

import datetime

from django.db import transaction
from django.db.models import Count, Sum

from reedcrew.grants import errors
from reedcrew.grants.models import Approval, HourEntry
from reedcrew.grants.queries import lines
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


@transaction.atomic
def approve_day(*, day: WorkDay, actor: Account, now: datetime.datetime) -> Approval:
    """Lock the lines of a closed day as they are now. A second press changes nothing.

    Raises DayNotClosed or NothingToApprove.
    """
    lock_group(day.group)
    if standing := lines.approval_of(day):
        return standing
    day = WorkDay.objects.with_stand().get(pk=day.pk)
    if day.status != WorkDay.Status.CLOSED:
        raise errors.DayNotClosed
    sums = HourEntry.objects.standing().filter(day=day).aggregate(entries=Count("pk"), minutes=Sum("minutes"))
    if not sums["entries"]:
        raise errors.NothingToApprove
    made = Approval.objects.create(day=day, approved_by=actor, approved_at=now, **sums)
    record(group=day.group, actor=actor, at=now, deed="hours approved", subject=day, **sums)
    return made


@transaction.atomic
def reopen_day(*, day: WorkDay, reason: str, actor: Account, now: datetime.datetime) -> Approval:
    """Take the approval of a day back, so that its lines can be corrected; approval and reason stay on record.

    Raises NotApproved or ReopeningNeedsReason.
    """
    lock_group(day.group)
    if not reason.strip():
        raise errors.ReopeningNeedsReason
    approval = lines.approval_of(day)
    if approval is None:
        raise errors.NotApproved
    approval.reopened_by, approval.reopened_at, approval.reopened_reason = actor, now, reason.strip()
    approval.save(update_fields=["reopened_by", "reopened_at", "reopened_reason"])
    record(group=day.group, actor=actor, at=now, deed="hours opened again", subject=day, reason=reason.strip())
    return approval
