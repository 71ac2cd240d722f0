"""Notices of a site: those that hold or will, and those that have ended."""

import datetime
from dataclasses import dataclass

from reedcrew.people.queries import member_name
from reedcrew.stands.models import Site, SiteNotice


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeLists:
    """A site's notices, each with ``recorder``, who recorded it: those in force, and those that are past."""

    in_force: tuple[SiteNotice, ...]
    past: tuple[SiteNotice, ...]


def notices_at(site: Site, today: datetime.date) -> NoticeLists:
    """The notices of a site as of a day. A notice of one year is past after its years. One query."""
    named = site.notices.annotate(recorder=member_name(group="site__group", account="recorded_by"))
    past: list[SiteNotice] = []
    in_force: list[SiteNotice] = []
    for notice in named:
        over = notice.has_ended(today) or (notice.rule.last_year or today.year) < today.year
        (past if over else in_force).append(notice)
    return NoticeLists(in_force=tuple(in_force), past=tuple(past))
