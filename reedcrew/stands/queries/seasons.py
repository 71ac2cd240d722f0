"""What the calendar says to work at a site."""

import calendar
import datetime
import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.stands.models import Site, Stand
from reedcrew.stands.queries.depths import zone_states
from reedcrew.trade.moves import Ground, ZoneState
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason
from reedcrew.trade.season import SeasonRules, SeasonState, SeasonVerdict, Window, default_window

DAYS_AHEAD = 14  # how far a page looks for days of work


DAYS_OF_A_YEAR = 366
SATURDAY = 5
DAY = datetime.timedelta(days=1)


def window_of(site: Site, policy: Policy) -> Window:
    """The site's own permitted weeks with the authority that set them, or else the group's (design, rule 1)."""
    if site.window_opens is None or site.window_closes is None:
        return default_window(policy)
    return Window(opens=site.window_opens, closes=site.window_closes, authority=site.window_authority)


def rules_of(site: Site, policy: Policy) -> SeasonRules:
    """All that decides the site's calendar: window, notices, nest check. One query, none where notices are fetched."""
    return SeasonRules(
        window=window_of(site, policy),
        notices=tuple(notice.rule for notice in site.notices.all()),
        nest_check_until=policy.nest_check_until,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSpan:
    """Days in a row to which the calendar says the same."""

    first: datetime.date
    last: datetime.date
    verdict: SeasonVerdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """What the calendar says to work at a site from today on. ``next_open`` is the first permitted day from today."""

    window: Window
    today: SeasonVerdict
    spans: tuple[SeasonSpan, ...]
    next_open: datetime.date | None


def season_at(site: Site, policy: Policy, at: datetime.datetime) -> Season:
    """The next two weeks at a site, by the clocks of the site. One query."""
    rules = rules_of(site, policy)
    today = at.astimezone(site.zone_info).date()
    spans = tuple(_spans(rules, today, today + (DAYS_AHEAD - 1) * DAY))
    days = (today + step * DAY for step in range(DAYS_OF_A_YEAR))
    return Season(
        window=rules.window,
        today=spans[0].verdict,
        spans=spans,
        next_open=next((day for day in days if rules.is_permitted(day, in_water=False)), None),
    )


def _spans(rules: SeasonRules, first: datetime.date, last: datetime.date) -> Iterator[SeasonSpan]:
    days = (first + step * DAY for step in range((last - first).days + 1))
    for said, run in itertools.groupby(zip(days, rules.verdicts(first, last), strict=True), key=lambda pair: pair[1]):
        run_days = [day for day, _ in run]
        yield SeasonSpan(first=run_days[0], last=run_days[-1], verdict=said)


# --- The calendar of a year ------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Days of one week with one state. ``water_closed`` with a state other than CLOSED: dry zones only."""

    first: datetime.date
    last: datetime.date
    state: SeasonState
    water_closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """The days of one week, Monday to Sunday, that lie in one month."""

    first: datetime.date
    last: datetime.date
    stretches: tuple[Stretch, ...]
    has_today: bool

    @property
    def is_mixed(self) -> bool:
        return len(self.stretches) > 1

    @property
    def worst(self) -> SeasonState:
        """The strictest state of the week, for its pattern."""
        order = (SeasonState.CLOSED, SeasonState.CAUTION, SeasonState.OPEN)
        return next(state for state in order if any(each.state is state for each in self.stretches))


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """One month of the calendar: its weeks, and every reason that holds on one of its days, each once."""

    first: datetime.date
    weeks: tuple[Week, ...]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearOfWork:
    """What the calendar says to each week of a year, and the number of days on which somebody may work."""

    year: int
    months: tuple[Month, ...]
    days_permitted: int
    days_in_water: int


def year_of_work(site: Site, policy: Policy, year: int, today: datetime.date) -> YearOfWork:
    """The calendar of a site in one year. One query."""
    rules = rules_of(site, policy)
    first, last = datetime.date(year, 1, 1), datetime.date(year, 12, 31)
    days = (first + step * DAY for step in range((last - first).days + 1))
    said = dict(zip(days, rules.verdicts(first, last), strict=True))
    return YearOfWork(
        year=year,
        months=tuple(_month(said, year, month, today) for month in range(1, 13)),
        days_permitted=sum(each.state is not SeasonState.CLOSED for each in said.values()),
        days_in_water=sum(each.state_for(in_water=True) is not SeasonState.CLOSED for each in said.values()),
    )


def _month(said: dict[datetime.date, SeasonVerdict], year: int, month: int, today: datetime.date) -> Month:
    first = datetime.date(year, month, 1)
    days = [first + step * DAY for step in range(calendar.monthrange(year, month)[1])]
    weeks = [list(run) for _week, run in itertools.groupby(days, key=lambda day: day.isocalendar()[:2])]
    reasons = tuple(_flat(said[day] for day in days))
    return Month(first=first, weeks=tuple(_week(said, week, today) for week in weeks), reasons=reasons)


def _flat(verdicts: Iterable[SeasonVerdict]) -> Iterator[Reason]:
    seen: set[str] = set()
    for verdict in verdicts:
        for because in verdict.reasons:
            if because.text not in seen:
                seen.add(because.text)
                yield because


def _week(said: dict[datetime.date, SeasonVerdict], days: Sequence[datetime.date], today: datetime.date) -> Week:
    def look(day: datetime.date) -> tuple[SeasonState, bool]:
        return said[day].state, said[day].water_closed

    stretches = []
    for (state, water_closed), run in itertools.groupby(days, key=look):
        run_days = list(run)
        stretches.append(Stretch(first=run_days[0], last=run_days[-1], state=state, water_closed=water_closed))
    return Week(first=days[0], last=days[-1], stretches=tuple(stretches), has_today=today in days)


# --- Next Saturday ---------------------------------------------------------------------------------------------------
class Answer(StrEnum):
    """Whether a crew may work on a day. LAND_ONLY: nobody in water."""

    YES = "yes"
    LAND_ONLY = "dry ground only"
    NO = "no"


@dataclass(frozen=True, slots=True, kw_only=True)
class NextSaturday:
    """May we work next Saturday: the answer, the calendar's verdict, and the zones that a crew may enter.

    Zones are as deep as the latest reading says now; the water may move until the day.
    """

    day: datetime.date
    answer: Answer
    confirmed: bool
    verdict: SeasonVerdict
    zones: tuple[ZoneState, ...]
    open_zones: tuple[ZoneState, ...]


def next_saturday(stand: Stand, policy: Policy, at: datetime.datetime) -> NextSaturday:
    """May we work on a stand on the first Saturday after today, by the date of the site? Three queries.

    No, unless the stand is confirmed as the introduced subspecies, the calendar leaves the day open, and some zone is
    open at its depth today (H6, H7). A stand without zones has no open one: nobody knows its depth.
    """
    today = at.astimezone(stand.site.zone_info).date()
    day = today + ((SATURDAY - today.weekday() - 1) % 7 + 1) * DAY
    verdict = rules_of(stand.site, policy).verdict(day)
    zones = tuple(zone_states(stand, policy, at).values())
    open_zones = tuple(
        zone for zone in zones if zone.is_open and (zone.ground is Ground.DRY or not verdict.water_closed)
    )
    if not stand.may_be_cut or verdict.state is SeasonState.CLOSED or not open_zones:
        answer = Answer.NO
    else:
        answer = Answer.YES if any(zone.ground is not Ground.DRY for zone in open_zones) else Answer.LAND_ONLY
    return NextSaturday(
        day=day,
        answer=answer,
        confirmed=stand.may_be_cut,
        verdict=verdict,
        zones=zones,
        open_zones=open_zones,
    )
