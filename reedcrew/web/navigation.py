"""The menu: apps register their entries when they start, the base page prints those that the reader may see."""

import enum
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

# A menu of up to so many lines stands open as a whole; of a longer one, parts that are rarely needed are folded (cp).
OPEN_LINES_MOST = 13


def everyone(request: HttpRequest) -> bool:
    """Visibility of an entry that anybody sees."""
    return True


def signed_in(request: HttpRequest) -> bool:
    """Visibility of an entry for people who are signed in."""
    user = getattr(request, "user", None)
    return user is not None and user.is_authenticated


class Section(enum.Enum):
    """The parts of the menu, in its order, by what somebody comes for."""

    MINE = "mine"
    SEASON = "season"
    PEOPLE_AND_GEAR = "people and gear"
    REPORTS = "reports"
    MAIL = "mail"
    SETTINGS = "settings"
    SITE = "site"

    @property
    def heading(self) -> str | Promise:
        """What stands above its lines; "" where they need no heading."""
        return _HEADINGS[self]

    @property
    def may_fold(self) -> bool:
        """Whether its lines are folded away in a long menu."""
        return self in _FOLDED


_HEADINGS: dict[Section, str | Promise] = {
    Section.MINE: "",
    Section.SEASON: _("The season's work"),
    Section.PEOPLE_AND_GEAR: _("People and gear"),
    Section.REPORTS: _("Hours and reports"),
    Section.MAIL: _("The group's mail"),
    Section.SETTINGS: _("The group's settings"),
    Section.SITE: _("You and this site"),
}
_FOLDED = frozenset({Section.MAIL, Section.SETTINGS, Section.SITE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the menu.

    ``order`` sorts the entries of a section, smallest first; those of one order are sorted by ``url_name``. An
    entry ``of_group`` is shown on pages of a group only, and its URL takes that group's slug under the name
    ``slug_name``. ``visible`` answers for one request whether the reader may see the entry; it must not query more
    than the page has loaded.
    """

    label: str | Promise
    url_name: str
    order: int
    section: Section = Section.MINE
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A section as it stands in one page; a folded one is opened by its heading."""

    key: str
    heading: str | Promise
    lines: list[Line]
    folds: bool = False

    @property
    def is_open(self) -> bool:
        """A folded part that the page lies in is open, so that the reader sees where the page is."""
        return not self.folds or any(line.current for line in self.lines)


_entries: dict[str, Entry] = {}


def register(entry: Entry) -> None:
    """Add an entry. Called from AppConfig.ready; registering the same URL name again replaces the entry."""
    _entries[entry.url_name] = entry


def entries() -> list[Entry]:
    """All registered entries in the order of the menu."""
    places = {section: place for place, section in enumerate(Section)}
    return sorted(_entries.values(), key=lambda entry: (places[entry.section], entry.order, entry.url_name))


def address(entry: Entry, slug: str) -> str:
    """The entry's address, for the group with that slug where it is one of a group. Raises NoReverseMatch."""
    return reverse(entry.url_name, kwargs={entry.slug_name: slug} if entry.of_group else None)


def parts_for(request: HttpRequest) -> list[Part]:
    """The menu of one request: reads ``request.group`` (an object with ``slug``, or None), asks each entry."""
    group = getattr(request, "group", None)
    slug = "" if group is None else group.slug
    shown = [
        (entry, address(entry, slug))
        for entry in entries()
        if (group is not None or not entry.of_group) and entry.visible(request)
    ]
    current = _current_address(request.path, [url for _, url in shown])
    is_long = len(shown) > OPEN_LINES_MOST
    return [
        Part(
            key=section.name.lower().replace("_", "-"),
            heading=section.heading,
            lines=[Line(label=each.label, url=url, icon=each.icon, current=url == current) for each, url in within],
            folds=is_long and section.may_fold,
        )
        for section, within in groupby(shown, key=lambda pair: pair[0].section)
    ]


def _current_address(path: str, urls: list[str]) -> str | None:
    """The address that the page lies under: the longest one that the path begins with; "/" only for itself."""
    above = [url for url in urls if path == url or (url != "/" and path.startswith(url.rstrip("/") + "/"))]
    return max(above, key=len, default=None)
