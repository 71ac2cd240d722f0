"""What the calendar says to work at a site."""

import datetime
import itertools
from dataclasses import dataclass

from reedcrew.stands.models import Site
from reedcrew.trade.policy import Policy
from reedcrew.trade.season import SeasonVerdict, Window, default_window, is_permitted, verdict

DAYS_AHEAD = 14  # how far a page looks for days of work


DAYS_OF_A_YEAR = 366


def window_of(site: Site, policy: Policy) -> Window:
    """The site's own permitted weeks with the authority that set them, or else the group's (design, rule 1)."""
    if site.window_opens is None or site.window_closes is None:
        return default_window(policy)
    return Window(opens=site.window_opens, closes=site.window_closes, authority=site.window_authority)


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
    """The next two weeks at a site, by the clocks of the site."""
    window = window_of(site, policy)
    today = at.astimezone(site.zone_info).date()
    days = [today + datetime.timedelta(days=step) for step in range(DAYS_OF_A_YEAR)]
    verdicts = [(day, verdict(window, day)) for day in days[:DAYS_AHEAD]]
    spans = []
    for said, run in itertools.groupby(verdicts, key=lambda pair: pair[1]):
        run_days = [day for day, _ in run]
        spans.append(SeasonSpan(first=run_days[0], last=run_days[-1], verdict=said))
    return Season(
        window=window,
        today=verdicts[0][1],
        spans=tuple(spans),
        next_open=next((day for day in days if is_permitted(window, day)), None),
    )
