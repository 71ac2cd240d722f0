"""Everything that changes the hours ledger and grants. The ledger only grows: a correction is a new entry.

Corrections, claims and names of grants are judged one after another, under the lock of the group's row.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from reedcrew.fieldbook.models import Attendance
from reedcrew.grants import errors
from reedcrew.grants.models import Claim, Grant, HourEntry
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stands.models import Stand
from reedcrew.web.times import day_text
from reedcrew.workdays.models import WorkDay

LONGEST_ENTRY = datetime.timedelta(hours=24)
FARTHEST = datetime.timedelta(days=1)  # of an entry's time from its date: work past midnight (convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class GrantFacts:
    """What a coordinator says of a grant. Both days belong to the period."""

    name: str
    funder: str
    number: str
    starts_on: datetime.date
    ends_on: datetime.date
    stands: Sequence[Stand]
    note: str = ""


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


@transaction.atomic
def record_grant(*, group: Group, facts: GrantFacts, actor: Account, now: datetime.datetime) -> Grant:
    """Write down a new grant. Raises NameTaken."""
    return _write(Grant(group=group), facts, "grant recorded", actor, now)


@transaction.atomic
def change_grant(*, grant: Grant, facts: GrantFacts, actor: Account, now: datetime.datetime) -> Grant:
    """Change what is said of a grant. Hours that were claimed stay claimed. Raises NameTaken."""
    return _write(grant, facts, "grant changed", actor, now)


def is_eligible(*, grant: Grant, entry: HourEntry) -> bool:
    """Whether the entry lies on the grant's stands and in its period."""
    return grant.starts_on <= entry.date <= grant.ends_on and grant.stands.filter(pk=entry.stand_id).exists()


@transaction.atomic
def claim_entry(*, grant: Grant, entry: HourEntry, actor: Account, now: datetime.datetime) -> Claim:
    """Count one entry toward a grant. A second click changes nothing.

    Raises NotEligible, AlreadyClaimed (by another grant) or AlreadyCorrected.
    """
    lock_group(grant.group)
    entry = HourEntry.objects.of_group(grant.group).get(pk=entry.pk)
    if HourEntry.objects.filter(corrects=entry).exists():
        raise errors.AlreadyCorrected
    if standing := Claim.objects.filter(entry=entry).select_related("grant").first():
        if standing.grant_id != grant.pk:
            raise errors.AlreadyClaimed(grant=standing.grant.name)
        return standing
    if not is_eligible(grant=grant, entry=entry):
        first, last = day_text(grant.starts_on), day_text(grant.ends_on)
        raise errors.NotEligible(grant=grant.name, first=first, last=last)
    return Claim.objects.create(entry=entry, grant=grant, claimed_by=actor, claimed_at=now)


@transaction.atomic
def claim_eligible(*, grant: Grant, actor: Account, now: datetime.datetime) -> int:
    """Count every eligible hour that no grant has claimed toward this one; returns the number of entries."""
    lock_group(grant.group)
    entries = HourEntry.objects.claimable(grant)
    claims = [Claim(entry=entry, grant=grant, claimed_by=actor, claimed_at=now) for entry in entries]
    Claim.objects.bulk_create(claims)
    record(group=grant.group, actor=actor, at=now, deed="hours claimed", subject=grant, entries=len(claims))
    return len(claims)


# --- Private ---------------------------------------------------------------------------------------------------------


def _write(grant: Grant, facts: GrantFacts, deed: str, actor: Account, now: datetime.datetime) -> Grant:
    lock_group(grant.group)
    if Grant.objects.filter(group=grant.group, name=facts.name).exclude(pk=grant.pk).exists():
        raise errors.NameTaken
    grant.name, grant.funder, grant.number, grant.note = facts.name, facts.funder, facts.number, facts.note
    grant.starts_on, grant.ends_on = facts.starts_on, facts.ends_on
    grant.save()
    grant.stands.set(facts.stands)
    record(group=grant.group, actor=actor, at=now, deed=deed, subject=grant)
    return grant
