"""What each line of the ledger counts for: minutes after rounding, and their value."""

import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from reedcrew.grants.models import Grant, HourlyRate
from reedcrew.trade.valuation import CENT, RateMissing, Rates, Role, Rounding, counted_minutes, value_of

NO_RATE = -1


class Pricing:
    """The grant's rates and rounding, asked line by line; every answer is kept, because lines repeat. One query.

    Values are whole hundredths of the currency, so that sums of them are exact and quick.
    """

    def __init__(self, grant: Grant) -> None:
        self._practice = grant.practice
        rows = list(HourlyRate.objects.for_grant(grant).order_by("role", "since", "pk"))
        self._rows = {row.rate(): row for row in rows}
        self._rates = Rates(self._rows, grant.currency)
        self.rates: list[HourlyRate] = []
        self._numbers: dict[tuple[str, datetime.date], int] = {}
        self._cents: dict[tuple[int, int], int] = {}

    @property
    def needs_times(self) -> bool:
        """Whether starts and ends are rounded: else the raw minutes of a line count."""
        return self._practice is not Rounding.NONE

    def counted(self, start: datetime.datetime, end: datetime.datetime, zone: ZoneInfo) -> int:
        """Minutes from start to end, both rounded by the site's clock."""
        return counted_minutes(start, end, self._practice, zone)

    def rate(self, role: str, date: datetime.date) -> int:
        """The number of the rate in ``rates``, or NO_RATE."""
        key = role, date
        if (found := self._numbers.get(key)) is None:
            found = self._numbers[key] = self._look(role, date)
        return found

    def cents(self, counted: int, rate: int) -> int:
        """Value of so many counted minutes by the rate with this number; 0 without one."""
        key = counted, rate
        if (found := self._cents.get(key)) is None:
            found = 0
            if rate != NO_RATE:
                found = int(value_of(counted, self.rates[rate].rate()) / CENT)
            self._cents[key] = found
        return found

    def _look(self, role: str, date: datetime.date) -> int:
        try:
            row = self._rows[self._rates.at(Role(role), date)]
        except RateMissing:
            return NO_RATE
        if row not in self.rates:
            self.rates.append(row)
        return self.rates.index(row)


def money(cents: int) -> Decimal:
    """Whole hundredths as an amount with two decimals."""
    return Decimal(cents).scaleb(-2)
