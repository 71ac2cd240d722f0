"""The pages that belong to one work day, and the panels of its first; apps downstream register theirs at start."""

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise

from reedcrew.people.access import GroupRequest
from reedcrew.people.home import Panel
from reedcrew.people.models import Member
from reedcrew.people.roles import Deed
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPage:
    """One page of a day. Its URL takes the group's slug and the day's key, in this order."""

    label: str | Promise
    url_name: str
    deed: Deed
    order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPageLink:
    label: str | Promise
    url: str
    current: bool


# Asked once for each page of a day; None when there is nothing to show this reader.
DayPanelSource = Callable[[GroupRequest, WorkDay, datetime.datetime], Panel | None]

_pages: dict[str, DayPage] = {}
_panels: dict[DayPanelSource, int] = {}


def register(page: DayPage) -> None:
    """Add a page; registering the same URL name again replaces it."""
    _pages[page.url_name] = page


def links_for(day: WorkDay, member: Member, path: str) -> list[DayPageLink]:
    """The pages of the day that this member may open, in order, the one at ``path`` marked."""
    links = []
    for page in sorted(_pages.values(), key=lambda page: (page.order, page.url_name)):
        if member.may(page.deed):
            url = reverse(page.url_name, args=[day.group.slug, day.pk])
            links.append(DayPageLink(label=page.label, url=url, current=url == path))
    return links


def register_panel(source: DayPanelSource, *, order: int) -> None:
    """Show the panel of ``source`` on the first page of each day, smallest order first; again moves it."""
    _panels[source] = order


def day_panels(request: GroupRequest, day: WorkDay, now: datetime.datetime) -> list[Panel]:
    """The panels of a day's first page for this reader."""
    ordered = sorted(_panels, key=lambda source: (_panels[source], source.__module__, source.__qualname__))
    return [panel for source in ordered if (panel := source(request, day, now)) is not None]
