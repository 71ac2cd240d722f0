"""What stands in a report: plain values, frozen. Minutes are whole, money is Decimal in the grant's currency."""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from reedcrew.grants.reports.scope import Scope

if TYPE_CHECKING:
    from reedcrew.stands.queries import StandsMap


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Lines of the ledger added up. ``minutes`` are raw, ``counted`` after rounding each start and end.

    ``unvalued`` are counted minutes for which no rate was recorded; ``value`` is of the others.
    """

    entries: int
    minutes: int
    counted: int
    value: Decimal
    unvalued: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLine:
    """One person by code. ``name`` is empty unless the funder requires names."""

    code: str
    name: str
    days: int
    hours: Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursLine:
    """Hours of one kind on one stand."""

    kind: str  # value of trade.valuation.Kind
    kind_word: str
    stand_id: int
    stand: str
    site: str
    people: int
    days: int
    hours: Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueLine:
    """Hours of one role valued by one rate; the rate's parts are None where none was recorded for role and date."""

    role: str
    role_word: str
    hourly: Decimal | None
    fringe_percent: Decimal | None
    since: datetime.date | None
    source: str
    source_date: datetime.date | None
    hours: Hours

    @property
    def full(self) -> Decimal | None:
        """The hourly value with benefits, not rounded."""
        if self.hourly is None or self.fringe_percent is None:
            return None
        return (self.hourly * (100 + self.fringe_percent) / 100).normalize()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stems:
    """Stems of some tallies with the 95 % limits of their sum. ``untallied`` days have no tally: unknown, not 0."""

    stems: int
    low: int
    high: int
    tallies: int
    untallied: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Density:
    """Live stems per m² at one survey, over the zones that are compared; limits None where none may be claimed."""

    survey_id: int
    on: datetime.date
    quadrats: int
    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DensityChange:
    """The survey before the work and the last of the period, over the zones that both counted; later ÷ earlier."""

    zones: tuple[str, ...]
    area_m2: float
    earlier: Density
    later: Density
    ratio: float | None  # None where nothing was found earlier
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StandLine:
    """One stand: work on it, the area of the zones that were cut, and how its density changed.

    ``change`` is None without two surveys to compare, and ``only`` then the one there is.
    """

    stand_id: int
    stand: str
    site: str
    days: int
    stems: Stems
    area_m2: Decimal
    zones: tuple[str, ...]
    zones_without_area: tuple[str, ...]
    change: DensityChange | None
    only: Density | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLine:
    """Cut material of one kind: entries, piles or bags, where they went, and until when bags lie in the sun.

    ``moved_on`` of them were taken on after their time in the sun, ``moved_on_by`` by code, the last of them at
    ``moved_on_last`` by the site's clock.
    """

    kind: str
    kind_word: str
    seed_heads: bool
    entries: int
    count: int
    places: tuple[str, ...]
    sun_until: datetime.date | None
    moved_on: int
    moved_on_to: tuple[str, ...]
    moved_on_by: tuple[str, ...]
    moved_on_last: datetime.date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """One work day with its evidence. Times are moments; ``zone`` is the site's.

    ``elsewhere`` are raw minutes of the day that do not count here. ``approved_at`` is None for a day not approved.
    """

    day_id: int
    date: datetime.date
    title: str
    stand_id: int
    stand: str
    site: str
    zone: str
    people: int
    hours: Hours
    elsewhere: int
    sign_ins: int
    first_in: datetime.datetime | None
    last_out: datetime.datetime | None
    approved_by: str
    approved_at: datetime.datetime | None
    corrections: int
    stems: Stems
    loads: int

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.zone)


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionLine:
    """A line that replaced another: what it was, what it became, who did it, when and why."""

    entry: int
    corrects: int
    date: datetime.date
    day_id: int
    person: str
    before: int  # raw minutes
    after: int
    reason: str
    by: str
    at: datetime.datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyCount:
    """So many incidents of one kind on one work day; nothing about whom."""

    day_id: int
    date: datetime.date
    kind: str  # in the reader's words
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPhoto:
    """A picture: what it shows and when. ``read`` gives a JPEG without metadata, ``url`` leads to it."""

    name: str  # of its file in a bundle, without an ending
    caption: str
    on: datetime.date
    url: str
    width: int
    height: int
    read: Callable[[], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """A report as it was made at one moment."""

    scope: Scope
    group: str
    made_at: datetime.datetime
    hours: Hours
    people: tuple[PersonLine, ...]
    by_kind: tuple[HoursLine, ...]
    by_role: tuple[ValueLine, ...]
    stems: Stems
    stands: tuple[StandLine, ...]
    loads: tuple[LoadLine, ...]
    safety: tuple[SafetyCount, ...]
    photos: tuple[ReportPhoto, ...]
    days: tuple[DayLine, ...]
    corrections: tuple[CorrectionLine, ...]
    map: "StandsMap"

    @property
    def currency(self) -> str:
        return self.scope.grant.currency

    @property
    def area_m2(self) -> Decimal:
        """Area of the zones that were cut, as far as it is known."""
        return sum((each.area_m2 for each in self.stands), Decimal(0))

    @property
    def unapproved(self) -> Sequence[DayLine]:
        return [day for day in self.days if day.approved_at is None]

    @property
    def approved(self) -> int:
        """How many of the work days are approved."""
        return len(self.days) - len(self.unapproved)

    @property
    def unvalued(self) -> Sequence[ValueLine]:
        return [line for line in self.by_role if line.hourly is None]
