"""Which grant counts an hour: one, judged under the lock of the group's row.

An hour is a person's time. Two lines of one person that share time are the same hour, so only one of them can count.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable

from django.db import transaction

from reedcrew.grants import errors
from reedcrew.grants.models import Claim, Grant, HourEntry, Release
from reedcrew.grants.queries import lines
from reedcrew.grants.services.ledger import ask_standing
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.web.times import day_text
from reedcrew.workdays.models import WorkDay

Span = tuple[datetime.datetime, datetime.datetime]


def is_eligible(*, grant: Grant, entry: HourEntry) -> bool:
    """Whether the entry stands and fits the grant's period, stands, kinds and activities."""
    return HourEntry.objects.eligible(grant).filter(pk=entry.pk).exists()


@transaction.atomic
def claim_entry(*, grant: Grant, entry: HourEntry, actor: Account, now: datetime.datetime) -> Claim:
    """Count one entry toward a grant. A second click changes nothing.

    Raises AlreadyClaimed or ClaimedInFamily (by another grant, which is named), TimeClaimed (another entry of the
    person at the same time counts), AlreadyCorrected or NotEligible.
    """
    lock_group(grant.group)
    entry = HourEntry.objects.of_group(grant.group).select_related("member", "stand__site").get(pk=entry.pk)
    ask_standing(entry)
    claims = Claim.objects.select_related("grant__family", "claimed_by", "entry__stand__site")
    if claimed := claims.filter(entry=entry).first():
        if claimed.grant_id != grant.pk:
            raise _refusal(claimed, grant)
        return claimed
    if not is_eligible(grant=grant, entry=entry):
        first, last = day_text(grant.starts_on), day_text(grant.ends_on)
        raise errors.NotEligible(grant=grant.name, first=first, last=last)
    met = lines.meeting([entry.member], entry.started_at, entry.ended_at).exclude(pk=entry.pk)
    if entry.minutes and (twice := claims.filter(entry__in=met).first()):
        raise errors.TimeClaimed(person=entry.member.name, entry=twice.entry_id, grant=twice.grant.name)
    return Claim.objects.create(entry=entry, grant=grant, claimed_by=actor, claimed_at=now)


@transaction.atomic
def claim_eligible(
    *, grant: Grant, actor: Account, now: datetime.datetime, days: Iterable[WorkDay] | None = None
) -> int:
    """Count every eligible hour that no grant has claimed toward this one; returns the number of entries.

    ``days`` narrows it to those work days. Lines that share time with hours that count already are left unclaimed.
    """
    lock_group(grant.group)
    entries = HourEntry.objects.claimable(grant)
    if days is not None:
        entries = entries.filter(day__in=list(days))
    taken = _time_that_counts(grant)
    claims = []
    for entry in entries.order_by("started_at", "pk"):
        spans = taken[entry.member_id]
        if entry.minutes and any(first < entry.ended_at and entry.started_at < last for first, last in spans):
            continue
        spans.append((entry.started_at, entry.ended_at))
        claims.append(Claim(entry=entry, grant=grant, claimed_by=actor, claimed_at=now))
    Claim.objects.bulk_create(claims, batch_size=1000)
    record(group=grant.group, actor=actor, at=now, deed="hours claimed", subject=grant, entries=len(claims))
    return len(claims)


@transaction.atomic
def release_claim(*, entry: HourEntry, reason: str, actor: Account, now: datetime.datetime) -> Release:
    """Let an entry count toward no grant again; who had claimed it, and why it was let go, stay on record.

    Raises ReleaseNeedsReason or NotClaimed.
    """
    lock_group(entry.group)
    if not reason.strip():
        raise errors.ReleaseNeedsReason
    claim = Claim.objects.filter(entry=entry).first()
    if claim is None:
        raise errors.NotClaimed
    release = Release.objects.create(
        entry=entry,
        grant_id=claim.grant_id,
        claimed_by_id=claim.claimed_by_id,
        claimed_at=claim.claimed_at,
        released_by=actor,
        released_at=now,
        reason=reason.strip(),
    )
    claim.delete()
    record(group=entry.group, actor=actor, at=now, deed="claim released", subject=entry, grant=release.grant_id)
    return release


# --- Private ---------------------------------------------------------------------------------------------------------


def _refusal(claimed: Claim, grant: Grant) -> errors.AlreadyClaimed:
    said = {
        "grant": claimed.grant.name,
        "name": lines.name_of(claimed.claimed_by, grant.group),
        "date": day_text(claimed.claimed_at.astimezone(claimed.entry.stand.site.zone_info).date()),
    }
    if grant.family_id is not None and claimed.grant.family_id == grant.family_id:
        return errors.ClaimedInFamily(family=grant.family.name if grant.family else "", **said)
    return errors.AlreadyClaimed(**said)


def _time_that_counts(grant: Grant) -> defaultdict[int, list[Span]]:
    """Spans that count toward any grant of the group around this one's period, by member."""
    day = datetime.timedelta(days=1)
    counted = HourEntry.objects.of_group(grant.group).standing().exclude(claim=None).exclude(minutes=0)
    counted = counted.in_period(grant.starts_on - 2 * day, grant.ends_on + 2 * day)
    spans: defaultdict[int, list[Span]] = defaultdict(list)
    for member, first, last in counted.values_list("member", "started_at", "ended_at"):
        spans[member].append((first, last))
    return spans
