"""The pages that belong to one work day, and the panels of its first; apps downstream register theirs at start."""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise

from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """Pages of a day that are one link in its row, to the first of them, and have a row of their own.

    Every address that starts with that of ``root`` belongs to the chapter.
    """

    label: str | Promise
    root: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPage:
    """One page of a day. Its URL takes the group's slug and the day's key, in this order."""

    label: str | Promise
    url_name: str
    deed: Deed
    order: int
    chapter: Chapter | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPageLink:
    label: str | Promise
    url: str
    current: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterLinks:
    label: str | Promise
    links: Sequence[DayPageLink]


# Asked once for each page of a day; None when there is nothing to show this reader.
DayPanelSource = Callable[[GroupRequest, WorkDay, datetime.datetime], Panel | None]

_pages: dict[str, DayPage] = {}
_panels: dict[DayPanelSource, int] = {}


def register(page: DayPage) -> None:
    """Add a page; registering the same URL name again replaces it."""
    _pages[page.url_name] = page


def links_for(day: WorkDay, member: Member, path: str) -> list[DayPageLink]:
    """The pages and chapters of the day that this member may open, in order, the one at ``path`` marked."""
    links = []
    chapters: set[Chapter] = set()
    for page in _pages_for(member):
        url = _url(page.url_name, day)
        if page.chapter is None:
            links.append(DayPageLink(label=page.label, url=url, current=url == path))
        elif page.chapter not in chapters:
            chapters.add(page.chapter)
            within = path.startswith(_url(page.chapter.root, day))
            links.append(DayPageLink(label=page.chapter.label, url=url, current=within))
    return links


def chapter_links_for(day: WorkDay, member: Member, path: str) -> ChapterLinks | None:
    """The pages of the chapter that ``path`` belongs to, for this member; None outside of chapters."""
    pages = [page for page in _pages_for(member) if page.chapter and path.startswith(_url(page.chapter.root, day))]
    if not pages or pages[0].chapter is None:
        return None
    links = [
        DayPageLink(label=page.label, url=(url := _url(page.url_name, day)), current=url == path) for page in pages
    ]
    return ChapterLinks(label=pages[0].chapter.label, links=links)


def register_panel(source: DayPanelSource, *, order: int) -> None:
    """Show the panel of ``source`` on the first page of each day, smallest order first; again moves it."""
    _panels[source] = order


def day_panels(request: GroupRequest, day: WorkDay, now: datetime.datetime) -> list[Panel]:
    """The panels of a day's first page for this reader."""
    ordered = sorted(_panels, key=lambda source: (_panels[source], source.__module__, source.__qualname__))
    return [panel for source in ordered if (panel := source(request, day, now)) is not None]


# --- Private ---------------------------------------------------------------------------------------------------------


def _pages_for(member: Member) -> list[DayPage]:
    ordered = sorted(_pages.values(), key=lambda page: (page.order, page.url_name))
    return [page for page in ordered if member.may(page.deed)]


def _url(name: str, day: WorkDay) -> str:
    return reverse(name, args=[day.group.slug, day.pk])
