"""What hours are worth toward a grant: the group's values and the grant's own, applied line by line."""

import datetime
from dataclasses import dataclass, field
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from reedcrew.grants.models import ROLES, Grant, HourEntry, HourlyRate
from reedcrew.trade.valuation import Rate, RateMissing, Rates, Role, Rounding, counted_minutes, value_of


def rates_for(grant: Grant) -> Rates:
    """The values by which the grant's hours are judged, in one query."""
    return Rates([row.rate() for row in HourlyRate.objects.for_grant(grant)], grant.currency)


@dataclass(frozen=True, slots=True, order=True)
class MissingRate:
    """A role without a value: from the earliest of the dates for which one is needed."""

    role: Role
    date: datetime.date
    currency: str

    @property
    def role_name(self) -> str:
        return str(dict(ROLES)[self.role.value])


@dataclass(slots=True, kw_only=True)
class Worth:
    """Sums of valued lines. While a rate is missing ``value`` holds only the lines that have one: say so beside it."""

    raw_minutes: int = 0
    minutes: int = 0  # as rounded by the grant's practice
    value: Decimal = Decimal("0.00")
    entries: int = 0
    missing: dict[Role, MissingRate] = field(default_factory=dict)
    missing_entries: int = 0

    @property
    def is_whole(self) -> bool:
        return not self.missing


class Valuer:
    """Minutes and value of lines by the grant's practice and rates. Made once for many lines."""

    def __init__(self, grant: Grant, rates: Rates | None = None) -> None:
        self.practice: Rounding = grant.practice
        self.rates = rates if rates is not None else rates_for(grant)
        self._known: dict[tuple[str, datetime.date], Rate | None] = {}

    def minutes(self, start: datetime.datetime, end: datetime.datetime, raw: int, zone: ZoneInfo) -> int:
        """Minutes that the report counts: the raw ones, or those between start and end as rounded."""
        return raw if self.practice is Rounding.NONE or not raw else counted_minutes(start, end, self.practice, zone)

    def rate(self, role: str, date: datetime.date) -> Rate | None:
        """The rate of a role on a date, or None where none is entered."""
        if (role, date) not in self._known:
            try:
                self._known[role, date] = self.rates.at(Role(role), date)
            except RateMissing:
                self._known[role, date] = None
        return self._known[role, date]

    def value(self, minutes: int, role: str, date: datetime.date) -> Decimal | None:
        """Worth of counted minutes to the hundredth; None where no rate is entered, which is never worth nothing."""
        rate = self.rate(role, date)
        return None if rate is None else value_of(minutes, rate)

    def add(self, worth: Worth, *, raw: int, minutes: int, role: str, date: datetime.date) -> Decimal | None:
        """Add one line to the sums; answers with its value."""
        worth.entries += 1
        worth.raw_minutes += raw
        worth.minutes += minutes
        value = self.value(minutes, role, date)
        if value is not None:
            worth.value += value
        elif minutes:
            worth.missing_entries += 1
            known = worth.missing.get(Role(role))
            if known is None or date < known.date:
                worth.missing[Role(role)] = MissingRate(Role(role), date, self.rates.currency)
        return value


def worth_of(grant: Grant, entries: QuerySet[HourEntry] | None = None) -> Worth:
    """What the grant's claimed lines (or the given ones) are worth, in two queries."""
    valuer, worth = Valuer(grant), Worth()
    rows = entries if entries is not None else HourEntry.objects.standing().filter(claim__grant=grant)
    zones: dict[str, ZoneInfo] = {}
    columns = ("started_at", "ended_at", "minutes", "role", "date", "stand__site__time_zone")
    for start, end, raw, role, date, zone_name in rows.order_by("pk").values_list(*columns).iterator(chunk_size=2000):
        zone = zones.setdefault(zone_name, ZoneInfo(zone_name))
        valuer.add(worth, raw=raw, minutes=valuer.minutes(start, end, raw, zone), role=role, date=date)
    return worth
