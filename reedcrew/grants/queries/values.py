"""What lines of the ledger are worth toward a grant, and which hourly values are missing."""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.db.models import QuerySet
from django.urls import reverse

from reedcrew.grants.models import ROLES, Grant, HourEntry
from reedcrew.grants.reports.pricing import NO_RATE, Pricing, money

CHUNK = 2000  # lines that are in memory at once


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingRate:
    """A role without an hourly value, and the earliest date for which one is needed."""

    role: str
    date: datetime.date
    currency: str
    where: str  # the page on which it is entered, with what is known filled in

    @property
    def role_name(self) -> str:
        return str(dict(ROLES)[self.role])


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """Sums of lines. While a rate is missing, ``value`` is of the lines that have one alone: say so beside it."""

    entries: int
    raw_minutes: int
    minutes: int  # with starts and ends rounded by the grant's practice
    value: Decimal
    missing: list[MissingRate]
    unvalued_minutes: int

    @property
    def is_whole(self) -> bool:
        return not self.missing


def worth_of(grant: Grant, entries: QuerySet[HourEntry], pricing: Pricing | None = None) -> Worth:
    """What these lines are worth toward the grant, which comes with its group; two queries."""
    pricing = pricing or Pricing(grant)
    raw = counted = cents = unvalued = number = 0
    missing: dict[str, datetime.date] = {}
    zones: dict[str, ZoneInfo] = {}
    columns = ("started_at", "ended_at", "minutes", "role", "date", "stand__site__time_zone")
    for start, end, minutes, role, date, name in entries.order_by().values_list(*columns).iterator(chunk_size=CHUNK):
        zone = zones.setdefault(name, ZoneInfo(name))
        worked = pricing.counted(start, end, zone) if pricing.needs_times else minutes
        rate = pricing.rate(role, date)
        number, raw, counted = number + 1, raw + minutes, counted + worked
        cents += pricing.cents(worked, rate)
        if rate == NO_RATE and worked:
            unvalued += worked
            missing[role] = min(date, missing.get(role, date))
    return Worth(
        entries=number,
        raw_minutes=raw,
        minutes=counted,
        value=money(cents),
        missing=[missing_rate(grant, role, date) for role, date in sorted(missing.items())],
        unvalued_minutes=unvalued,
    )


def missing_rate(grant: Grant, role: str, date: datetime.date) -> MissingRate:
    """The rate that the grant lacks, with the address of the form that enters it."""
    known = urlencode({"role": role, "since": date.isoformat(), "currency": grant.currency})
    where = f"{reverse('grants:record_rate', args=[grant.group.slug])}?{known}"
    return MissingRate(role=role, date=date, currency=grant.currency, where=where)
