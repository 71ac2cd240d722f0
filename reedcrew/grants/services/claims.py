"""Which grant counts an hour: one, judged under the lock of the group's row."""

import datetime

from django.db import transaction

from reedcrew.grants import errors
from reedcrew.grants.models import Claim, Grant, HourEntry
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.web.times import day_text


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
