"""The pages that belong to one work day, and the panels of its first; apps downstream register theirs at start."""

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum, auto

from django.urls import reverse
from django.utils.functional import Promise

from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.workdays.models import WorkDay


class Phase(Enum):
    """Where a day stands by the date of its site: what its readers do with it."""

    BEFORE = auto()
    ON = auto()
    AFTER = auto()


InRow = Mapping[Phase, int]  # in the row of links, smallest first; a phase that is left out: among the others

ALWAYS_FIRST: InRow = dict.fromkeys(Phase, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """Pages of a day that are one link in its row, to the first of them, and have a row of their own.

    Every address that starts with that of ``root`` belongs to the chapter.
    """

    label: str | Promise
    root: str
    first: InRow = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPage:
    """One page of a day. Its URL takes the group's slug and the day's key, in this order.

    ``first`` says in which phases it stands in the row, and where; in others it is among the rest, by ``order``. In the
    row of its chapter it stands by ``order``, unless it is ``seldom`` opened.
    """

    label: str | Promise
    url_name: str
    deed: Deed
    order: int
    chapter: Chapter | None = None
    first: InRow = field(default_factory=dict, hash=False)
    seldom: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPageLink:
    label: str | Promise
    url: str
    current: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLinks:
    """The pages of a day for one reader: those of the present phase, and the others, which are one press away."""

    first: Sequence[DayPageLink]
    others: Sequence[DayPageLink]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterLinks:
    """The pages of a chapter: those in its row, and those that are seldom opened, with the other pages of the day."""

    label: str | Promise
    links: Sequence[DayPageLink]
    others: Sequence[DayPageLink]


# Asked once for each page of a day; None when there is nothing to show this reader.
DayPanelSource = Callable[[GroupRequest, WorkDay, datetime.datetime], Panel | None]

_pages: dict[str, DayPage] = {}
_panels: dict[DayPanelSource, int] = {}


def register(page: DayPage) -> None:
    """Add a page; registering the same URL name again replaces it."""
    _pages[page.url_name] = page


def phase_of(day: WorkDay, now: datetime.datetime) -> Phase:
    """A day that is cancelled, closed or over is after; else its date decides, by the clocks of its site."""
    if not day.is_open or day.has_ended(now):
        return Phase.AFTER
    return Phase.BEFORE if now.astimezone(day.zone_info).date() < day.date else Phase.ON


def links_for(day: WorkDay, member: Member, path: str, now: datetime.datetime) -> DayLinks:
    """The pages and chapters of the day that this member may open, the one at ``path`` marked.

    First come those of the present phase, and the one that is open; a single other one stands with them.
    """
    phase = phase_of(day, now)
    first: list[tuple[int, DayPageLink]] = []
    others: list[DayPageLink] = []
    chapters: set[Chapter] = set()
    for page in _pages_for(member):
        if page.chapter in chapters:
            continue
        url = _url(page.url_name, day)
        if page.chapter is None:
            link, places = DayPageLink(label=page.label, url=url, current=url == path), page.first
        else:
            chapters.add(page.chapter)
            within = path.startswith(_url(page.chapter.root, day))
            link, places = DayPageLink(label=page.chapter.label, url=url, current=within), page.chapter.first
        if phase in places:
            first.append((places[phase], link))
        else:
            others.append(link)
    shown = [link for _place, link in sorted(first, key=lambda each: each[0])]
    shown += [link for link in others if link.current or len(others) == 1]
    return DayLinks(first=shown, others=[link for link in others if link not in shown])


def chapter_links_for(day: WorkDay, member: Member, path: str) -> ChapterLinks | None:
    """The pages of the chapter that ``path`` belongs to, for this member; None outside of chapters."""
    pages = [page for page in _pages_for(member) if page.chapter and path.startswith(_url(page.chapter.root, day))]
    if not pages or pages[0].chapter is None:
        return None
    links: list[DayPageLink] = []
    others: list[DayPageLink] = []
    for page in pages:
        link = DayPageLink(label=page.label, url=(url := _url(page.url_name, day)), current=url == path)
        (others if page.seldom and not link.current else links).append(link)
    return ChapterLinks(label=pages[0].chapter.label, links=links, others=others)


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
