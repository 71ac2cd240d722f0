"""What a report is about: the hours that one grant counts, from one day to another."""

import datetime
from dataclasses import dataclass

from django.db.models import QuerySet

from reedcrew.fieldbook.models import Load, Tally
from reedcrew.grants.models import Grant, HourEntry


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """A grant, which comes with its group, and a period; both days belong to it. An entry is in it by its date, the
    site's: a day that runs past midnight is never cut."""

    grant: Grant
    first: datetime.date
    last: datetime.date

    def entries(self) -> QuerySet[HourEntry]:
        """The lines of the ledger that count: claimed by the grant, in the period, not corrected by a later one."""
        of_group = HourEntry.objects.of_group(self.grant.group).standing().claimed_by(self.grant)
        return of_group.in_period(self.first, self.last)

    def day_keys(self) -> list[int]:
        """Work days with a line that counts, by date."""
        return list(self.entries().order_by("date", "day").values_list("day", flat=True).distinct())

    def tallies(self) -> QuerySet[Tally]:
        """Standing tallies of these days."""
        return Tally.objects.standing().filter(day__in=self.entries().order_by().values("day"))

    def loads(self) -> QuerySet[Load]:
        """Standing loads of these days."""
        return Load.objects.standing().filter(day__in=self.entries().order_by().values("day"))
