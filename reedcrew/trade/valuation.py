"""What volunteer hours are worth as match, and how their times are rounded. Decimal throughout; currency explicit.

Value: hours × the hourly rate of the role in which they were worked, which is what paid work of that kind costs (2 CFR
200.306(e)); the rate follows the task, not the person's profession (HHS Grants Policy Statement). Benefits that such
work is paid may be added as a percentage.

Rounding: starting and stopping times may be recorded to the nearest 5 minutes, tenth or quarter of an hour, if it evens
out over time (29 CFR 785.48(b)). So start and end of each stay are rounded, by the site's clock, once, when a report is
made; a time exactly between two steps goes up (convention: the rule states none). Each line's value is rounded to the
hundredth, half up, so that a sum is the sum of its lines.

Each funder's own rules decide what counts.
"""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from types import MappingProxyType

from reedcrew.trade import plan

CENT = Decimal("0.01")
HOURLY_MAX = Decimal(1000)  # of a rate, in any currency that has hundredths; more is a slip (convention)
FRINGE_PERCENT_MAX = Decimal(100)  # (convention)


class Kind(StrEnum):
    """What an hour was for."""

    FIELD = "field"
    TRAVEL = "travel"
    PREPARATION = "preparation"


class Activity(StrEnum):
    """What was done in an hour."""

    WATER = "water"
    LAND = "land"
    SURVEY = "survey"
    GEAR = "gear"
    PLANNING = "planning"
    ON_THE_WAY = "way"


ACTIVITIES: Mapping[Kind, tuple[Activity, ...]] = MappingProxyType(
    {
        Kind.FIELD: (Activity.WATER, Activity.LAND),
        Kind.TRAVEL: (Activity.ON_THE_WAY,),
        Kind.PREPARATION: (Activity.SURVEY, Activity.GEAR, Activity.PLANNING),
    }
)


class Role(StrEnum):
    """As what an hour was worked: the rate hangs on it."""

    CREW = "crew"
    LEAD = "lead"
    SAFETY = "safety"
    SUPPORT = "support"


# What a plan gives people on shore; whoever is not in the table works in the crew.
ROLE_ON_SHORE: Mapping[plan.Role, Role] = MappingProxyType(
    {plan.Role.SPOTTER: Role.SAFETY, plan.Role.FIRST_AIDER: Role.SAFETY, plan.Role.SIGN_IN_DESK: Role.SUPPORT}
)


class Rounding(StrEnum):
    """To what starting and stopping times are rounded in a report."""

    NONE = "none"
    FIVE_MINUTES = "5 minutes"
    TENTH = "tenth"
    QUARTER = "quarter"


STEP_MINUTES: Mapping[Rounding, int] = MappingProxyType(
    {Rounding.NONE: 1, Rounding.FIVE_MINUTES: 5, Rounding.TENTH: 6, Rounding.QUARTER: 15}
)


def rounded(moment: datetime.datetime, practice: Rounding) -> datetime.datetime:
    """A time to the nearest step of the clock that it is given in; exactly between two goes up.

    Raises ValueError for a time without a zone.
    """
    if moment.tzinfo is None:
        raise ValueError("give a time with its zone: steps are those of the site's clock")
    if practice is Rounding.NONE:
        return moment
    step = datetime.timedelta(minutes=STEP_MINUTES[practice])
    into_hour = datetime.timedelta(minutes=moment.minute, seconds=moment.second, microseconds=moment.microsecond)
    past = into_hour % step
    move = step - past if past * 2 >= step else -past
    # By UTC, so that a step across a change of the clocks is still a step of time.
    return (moment.astimezone(datetime.UTC) + move).astimezone(moment.tzinfo)


def counted_minutes(
    start: datetime.datetime, end: datetime.datetime, practice: Rounding, zone: datetime.tzinfo = datetime.UTC
) -> int:
    """Whole minutes from start to end, both rounded by the clock of ``zone``; without a practice a begun minute is
    left out, as the ledger does."""
    first, last = (rounded(moment.astimezone(zone), practice).astimezone(datetime.UTC) for moment in (start, end))
    return (last - first) // datetime.timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What an hour in a role is worth from a date on, until a later rate of the role begins."""

    role: Role
    since: datetime.date
    hourly: Decimal
    currency: str  # ISO 4217
    fringe_percent: Decimal = Decimal(0)
    own: bool = False  # set for one grant; such a rate goes before the group's of the same role

    @property
    def full(self) -> Decimal:
        """The hourly rate with benefits, not rounded."""
        return self.hourly * (100 + self.fringe_percent) / 100


class RateMissing(LookupError):
    """No rate of the role holds on the date."""

    def __init__(self, role: Role, date: datetime.date, currency: str) -> None:
        self.role, self.date, self.currency = role, date, currency
        super().__init__(f"no rate in {currency} for {role} on {date.isoformat()}")


class Rates:
    """The rates of one currency, asked by role and date."""

    def __init__(self, rates: Iterable[Rate], currency: str) -> None:
        self.currency = currency
        kept = sorted((rate for rate in rates if rate.currency == currency), key=lambda each: (each.own, each.since))
        self._latest_first = {role: [each for each in reversed(kept) if each.role is role] for role in Role}

    def at(self, role: Role, date: datetime.date) -> Rate:
        """The rate that holds: the grant's own before the group's, of those the latest begun. Raises RateMissing."""
        for rate in self._latest_first[role]:
            if rate.since <= date:
                return rate
        raise RateMissing(role, date, self.currency)


def value_of(minutes: int, rate: Rate) -> Decimal:
    """Worth of so many minutes, to the hundredth, half up. Raises ValueError for negative minutes."""
    if minutes < 0:
        raise ValueError("minutes must be 0 or more")
    return (minutes * rate.hourly * (100 + rate.fringe_percent) / 6000).quantize(CENT, ROUND_HALF_UP)


def match_needed(award: Decimal, share_percent: Decimal) -> Decimal:
    """Match for an award when the other side must bear this share of the whole: award × s ÷ (1 − s), to the hundredth.

    Raises ValueError for a share outside 0 to under 100, or a negative award.
    """
    if award < 0 or not 0 <= share_percent < 100:
        raise ValueError("the award must be 0 or more and the share from 0 to under 100 percent")
    return (award * share_percent / (100 - share_percent)).quantize(CENT, ROUND_HALF_UP)
