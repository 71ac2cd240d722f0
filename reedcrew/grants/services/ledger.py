"""Everything that changes the hours ledger. It only grows: a correction is a new entry.

Corrections are judged one after another, under the lock of the group's row.
"""

import datetime

from django.db import transaction

from reedcrew.fieldbook.models import Attendance
from reedcrew.grants import errors
from reedcrew.grants.models import Claim, HourEntry
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.web.times import day_text
from reedcrew.workdays.models import WorkDay

LONGEST_ENTRY = datetime.timedelta(hours=24)
FARTHEST = datetime.timedelta(days=1)  # of an entry's time from its date: work past midnight (convention)


@transaction.atomic
def enter_hours(*, day: WorkDay, actor: Account, now: datetime.datetime) -> int:
    """Enter the hours of a closed day from its sign-ins and sign-outs; returns the number of new entries.

    Run again it adds nothing: each stay is entered once.
    """
    stays = Attendance.objects.standing().filter(day=day, hour_entries=None).select_related("member")
    entries = [
        HourEntry(
            group=day.group,
            member=stay.member,
            day=day,
            stand=day.stand,
            attendance=stay,
            date=day.date,
            started_at=stay.signed_in_at,
            ended_at=stay.signed_out_at,
            minutes=stay.minutes,
            entered_by=actor,
            entered_at=now,
        )
        for stay in stays
        if stay.signed_out_at is not None and stay.minutes is not None
    ]
    HourEntry.objects.bulk_create(entries)
    return len(entries)


@transaction.atomic
def correct_entry(
    *,
    entry: HourEntry,
    started_at: datetime.datetime,
    ended_at: datetime.datetime,
    reason: str,
    actor: Account,
    now: datetime.datetime,
) -> HourEntry:
    """Replace an entry by a new one that names it; equal start and end make it no time at all.

    A claim toward a grant passes on to the new entry. Raises AlreadyCorrected, CorrectionNeedsReason, EndBeforeStart,
    TooManyHours, or FarFromDay for times more than a day away from the entry's date at the site.
    """
    lock_group(entry.group)
    old = HourEntry.objects.select_related("group", "member", "stand__site").get(pk=entry.pk)
    if HourEntry.objects.filter(corrects=old).exists():
        raise errors.AlreadyCorrected
    if not reason.strip():
        raise errors.CorrectionNeedsReason
    if ended_at < started_at:
        raise errors.EndBeforeStart
    if ended_at - started_at > LONGEST_ENTRY:
        raise errors.TooManyHours(hours=LONGEST_ENTRY // datetime.timedelta(hours=1))
    zone = old.stand.site.zone_info
    if any(abs(moment.astimezone(zone).date() - old.date) > FARTHEST for moment in (started_at, ended_at)):
        raise errors.FarFromDay(date=day_text(old.date))
    new = HourEntry.objects.create(
        group=old.group,
        member=old.member,
        day_id=old.day_id,
        stand_id=old.stand_id,
        attendance_id=old.attendance_id,
        kind=old.kind,
        date=old.date,
        started_at=started_at,
        ended_at=ended_at,
        minutes=(ended_at - started_at) // datetime.timedelta(minutes=1),
        corrects=old,
        reason=reason.strip(),
        entered_by=actor,
        entered_at=now,
    )
    if claim := Claim.objects.filter(entry=old).first():
        Claim.objects.create(entry=new, grant_id=claim.grant_id, claimed_by=actor, claimed_at=now)
    record(group=old.group, actor=actor, at=now, deed="hours corrected", subject=new, corrects=old.pk)
    return new
