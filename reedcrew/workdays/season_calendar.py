"""The season of a group as a calendar: its permitted weeks, its days and how full they are, and what falls due."""

import calendar
import datetime
import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.people.models import Member
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Deed
from reedcrew.stands.models import Site
from reedcrew.stands.queries import rules_of
from reedcrew.trade.season import SeasonRules, SeasonState, SeasonVerdict, Window, default_window
from reedcrew.web.times import day_of_year_text
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.needs import surveys_due

DAY = datetime.timedelta(days=1)


class Openness(StrEnum):
    """What the calendars of all sites say to one date together."""

    OPEN = "open"
    DRY = "dry"  # somewhere open, nowhere in water
    SOME = "some"  # at some sites only
    CLOSED = "closed"


class Kind(StrEnum):
    """What a mark of a date is about."""

    DAY = "day"
    SURVEY = "survey"
    BAGS = "bags"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something on a date, with the page that it leads to; ``taken`` and ``places`` of a day to come or held."""

    date: datetime.date
    kind: Kind
    words: str
    url: str
    detail: str = ""
    taken: int = 0
    places: int = 0


# Asked once for a calendar with the reader, the first and last date, and now. A constant number of queries.
MarkSource = Callable[[Member, datetime.date, datetime.date, datetime.datetime], Iterable[Mark]]

_sources: dict[MarkSource, None] = {}


def register(source: MarkSource) -> None:
    """Ask ``source`` for marks. Called from AppConfig.ready; again changes nothing."""
    _sources[source] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Date:
    """One date of the calendar."""

    date: datetime.date
    openness: Openness
    marks: Sequence[Mark]
    is_today: bool

    @property
    def words(self) -> str:
        """The openness in words."""
        return said_of(self.openness)


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """The dates of one week, Monday to Sunday, that lie in one month; None for those of its neighbours."""

    number: int
    dates: Sequence[Date | None]

    @property
    def inside(self) -> list[Date]:
        return [date for date in self.dates if date is not None]

    @property
    def words(self) -> str:
        """What the calendar says to the week: one word, or each word with its dates."""
        runs = [
            (openness, list(run)) for openness, run in itertools.groupby(self.inside, key=lambda date: date.openness)
        ]
        if len(runs) == 1:
            return said_of(runs[0][0])
        return ", ".join(_span(said_of(openness), run[0].date.day, run[-1].date.day) for openness, run in runs)

    @property
    def taken(self) -> int:
        return sum(mark.taken for date in self.inside for mark in date.marks)

    @property
    def places(self) -> int:
        return sum(mark.places for date in self.inside for mark in date.marks)

    @property
    def has_marks(self) -> bool:
        return any(date.marks for date in self.inside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    first: datetime.date
    weeks: Sequence[Week]


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteWeeks:
    """The permitted weeks of a site in words. ``authority`` is who set them, "" where the group's own hold."""

    site: Site
    words: str
    authority: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonCalendar:
    """The months from the first to the last permitted day of a year, or that have a mark."""

    year: int
    months: Sequence[Month]
    sites: Sequence[SiteWeeks]


def season_calendar(member: Member, year: int, now: datetime.datetime) -> SeasonCalendar:
    """The calendar of a year as this member reads it. The number of queries does not grow with days or sites."""
    policy = policy_of(member.group)
    sites = list(Site.objects.of_group(member.group).prefetch_related("notices").order_by("name", "pk"))
    rules = {site: rules_of(site, policy) for site in sites}
    first, last = datetime.date(year, 1, 1), datetime.date(year, 12, 31)
    marks: dict[datetime.date, list[Mark]] = {}
    for source in _sources:
        for mark in source(member, first, last, now):
            marks.setdefault(mark.date, []).append(mark)
    known = list(rules.values()) or [SeasonRules(window=default_window(policy))]
    months = _months([each.window for each in known], marks)
    said = _openness(known, datetime.date(year, months[0], 1), _last_of(year, months[-1]))
    today = (now.astimezone(sites[0].zone_info) if sites else now).date()  # sites of a group lie near each other
    return SeasonCalendar(
        year=year,
        months=[_month(year, month, said, marks, today) for month in months],
        sites=[
            SiteWeeks(
                site=site,
                words=_("%(opens)s to %(closes)s")
                % {
                    "opens": day_of_year_text(*each.window.opens),
                    "closes": day_of_year_text(*each.window.closes),
                },
                authority=each.window.authority,
            )
            for site, each in rules.items()
        ],
    )


def days_on_calendar(
    member: Member, first: datetime.date, last: datetime.date, now: datetime.datetime
) -> Iterator[Mark]:
    """The days of the group with their places. One query."""
    days = WorkDay.objects.of_group(member.group).filter(date__range=(first, last)).with_stand().with_counts()
    for day in days.order_by("starts_at", "pk"):
        is_held = day.status != WorkDay.Status.CANCELLED
        taken, places = day.water_count + day.land_count, day.water_places + day.land_places  # type: ignore[attr-defined]  # with_counts
        full = ngettext("%(taken)d of %(places)d place taken", "%(taken)d of %(places)d places taken", places)
        yield Mark(
            date=day.date,
            kind=Kind.DAY,
            words=day.title,
            url=day.get_absolute_url(),
            detail=full % {"taken": taken, "places": places} if is_held else day.get_status_display(),
            taken=taken if is_held else 0,
            places=places if is_held else 0,
        )


def surveys_on_calendar(
    member: Member, first: datetime.date, last: datetime.date, now: datetime.datetime
) -> Iterator[Mark]:
    """Surveys that are due, to those who keep the stands."""
    for stand, by in surveys_due([member.group] if member.may(Deed.KEEP_STANDS) else [], now):
        if first <= by <= last:
            words = _("Survey %(stand)s by now") % {"stand": stand.name}
            url = reverse("stands:plan_survey", args=[member.group.slug, stand.pk])
            yield Mark(date=by, kind=Kind.SURVEY, words=words, url=url)


def said_of(openness: Openness) -> str:
    """What a date is, in words."""
    return {
        Openness.OPEN: _("open"),
        Openness.DRY: _("dry ground only"),
        Openness.SOME: _("at some sites"),
        Openness.CLOSED: _("closed"),
    }[openness]


# --- Private ---------------------------------------------------------------------------------------------------------


def _months(windows: Sequence[Window], marks: Iterable[datetime.date]) -> range:
    """The months that the calendar shows; a window over the year end shows the whole year."""
    spans = [(window.opens.month, window.closes.month) for window in windows if window.opens <= window.closes]
    if len(spans) < len(windows):
        return range(1, 13)
    months = [*itertools.chain.from_iterable(spans), *(date.month for date in marks)]
    return range(min(months), max(months) + 1)


def _last_of(year: int, month: int) -> datetime.date:
    return datetime.date(year, month, calendar.monthrange(year, month)[1])


def _openness(
    rules: Sequence[SeasonRules], first: datetime.date, last: datetime.date
) -> Mapping[datetime.date, Openness]:
    said = zip(*(each.verdicts(first, last) for each in rules), strict=True)
    dates = (first + step * DAY for step in range((last - first).days + 1))
    return {date: _together(verdicts) for date, verdicts in zip(dates, said, strict=True)}


def _together(verdicts: Sequence[SeasonVerdict]) -> Openness:
    opened = [verdict for verdict in verdicts if verdict.state is not SeasonState.CLOSED]
    if not opened:
        return Openness.CLOSED
    if len(opened) < len(verdicts):
        return Openness.SOME
    return Openness.DRY if all(verdict.water_closed for verdict in opened) else Openness.OPEN


def _month(
    year: int,
    month: int,
    said: Mapping[datetime.date, Openness],
    marks: Mapping[datetime.date, Sequence[Mark]],
    today: datetime.date,
) -> Month:
    first = datetime.date(year, month, 1)
    weeks = calendar.Calendar().monthdatescalendar(year, month)
    return Month(
        first=first,
        weeks=[
            Week(
                number=dates[0].isocalendar().week,
                dates=[
                    Date(date=date, openness=said[date], marks=marks.get(date, ()), is_today=date == today)
                    if date.month == month
                    else None
                    for date in dates
                ],
            )
            for dates in weeks
        ],
    )


def _span(words: str, first: int, last: int) -> str:
    return f"{words} {first}" if first == last else f"{words} {first}–{last}"
