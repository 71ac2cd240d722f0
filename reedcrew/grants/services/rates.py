"""What an hour is worth: recorded with its source, withdrawn with a reason, never changed."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from reedcrew.grants import errors
from reedcrew.grants.models import Grant, HourlyRate
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.trade.valuation import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class RateFacts:
    """An hourly value of a role from a day on; ``grant`` where only that funder's hours are valued by it."""

    role: Role
    since: datetime.date
    hourly: Decimal
    currency: str
    source: str
    source_date: datetime.date
    fringe_percent: Decimal = Decimal(0)
    grant: Grant | None = None


@transaction.atomic
def record_rate(*, group: Group, facts: RateFacts, actor: Account, now: datetime.datetime) -> HourlyRate:
    """Write down an hourly value. Raises RateTwice for a second one of the same role, currency and day."""
    lock_group(group)
    there = HourlyRate.objects.standing().filter(
        group=group, grant=facts.grant, role=facts.role.value, currency=facts.currency, since=facts.since
    )
    if known := there.first():
        raise errors.RateTwice(hourly=f"{known.hourly.normalize():f}", currency=known.currency)
    made = HourlyRate.objects.create(
        group=group,
        grant=facts.grant,
        role=facts.role.value,
        since=facts.since,
        hourly=facts.hourly,
        currency=facts.currency,
        fringe_percent=facts.fringe_percent,
        source=facts.source,
        source_date=facts.source_date,
        recorded_by=actor,
        recorded_at=now,
    )
    record(group=group, actor=actor, at=now, deed="hourly value recorded", subject=made, hourly=str(facts.hourly))
    return made


@transaction.atomic
def withdraw_rate(*, rate: HourlyRate, reason: str, actor: Account, now: datetime.datetime) -> HourlyRate:
    """Let an hourly value hold no more, for the past as well; it stays readable. Withdrawn again it keeps its reason.

    Raises WithdrawalNeedsReason.
    """
    lock_group(rate.group)
    if not reason.strip():
        raise errors.WithdrawalNeedsReason
    rate.refresh_from_db()
    if rate.withdrawn_at is None:
        rate.withdrawn_by, rate.withdrawn_at, rate.withdrawn_reason = actor, now, reason.strip()
        rate.save(update_fields=["withdrawn_by", "withdrawn_at", "withdrawn_reason"])
        record(group=rate.group, actor=actor, at=now, deed="hourly value withdrawn", subject=rate)
    return rate
