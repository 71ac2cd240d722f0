"""The menu: apps register their entries when they start, the base page prints those that the reader may see."""

from collections.abc import Callable
from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise


def everyone(request: HttpRequest) -> bool:
    """Visibility of an entry that anybody sees."""
    return True


def signed_in(request: HttpRequest) -> bool:
    """Visibility of an entry for people who are signed in."""
    user = getattr(request, "user", None)
    return user is not None and user.is_authenticated


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the menu.

    ``order`` sorts entries, smallest first; those of one order are sorted by ``url_name``. An entry ``of_group`` is
    shown on pages of a group only, and its URL takes that group's slug under the name ``slug_name``. ``visible``
    answers for one request whether the reader may see the entry; it must not query more than the page has loaded.
    """

    label: str | Promise
    url_name: str
    order: int
    icon: str = "list"
    of_group: bool = False
    slug_name: str = "slug"
    visible: Callable[[HttpRequest], bool] = everyone


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An entry as it stands in one page: its address, and whether it is the page's own part of the site."""

    label: str | Promise
    url: str
    icon: str
    current: bool


_entries: dict[str, Entry] = {}


def register(entry: Entry) -> None:
    """Add an entry. Called from AppConfig.ready; registering the same URL name again replaces the entry."""
    _entries[entry.url_name] = entry


def entries() -> list[Entry]:
    """All registered entries in the order of the menu."""
    return sorted(_entries.values(), key=lambda entry: (entry.order, entry.url_name))


def address(entry: Entry, slug: str) -> str:
    """The entry's address, for the group with that slug where it is one of a group. Raises NoReverseMatch."""
    return reverse(entry.url_name, kwargs={entry.slug_name: slug} if entry.of_group else None)


def lines_for(request: HttpRequest) -> list[Line]:
    """The menu of one request: reads ``request.group`` (an object with ``slug``, or None), asks each entry."""
    group = getattr(request, "group", None)
    slug = "" if group is None else group.slug
    shown = [
        (entry, address(entry, slug))
        for entry in entries()
        if (group is not None or not entry.of_group) and entry.visible(request)
    ]
    current = _current_address(request.path, [url for _, url in shown])
    return [Line(label=entry.label, url=url, icon=entry.icon, current=url == current) for entry, url in shown]


def _current_address(path: str, urls: list[str]) -> str | None:
    """The address that the page lies under: the longest one that the path begins with; "/" only for itself."""
    above = [url for url in urls if path == url or (url != "/" and path.startswith(url.rstrip("/") + "/"))]
    return max(above, key=len, default=None)
