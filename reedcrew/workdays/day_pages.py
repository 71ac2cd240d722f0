"""The pages that belong to one work day. Apps downstream register theirs when they start; the day's head lists them."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise

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


_pages: dict[str, DayPage] = {}


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
