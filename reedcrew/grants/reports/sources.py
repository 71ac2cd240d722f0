"""What a report tells of accidents and shows in pictures. The apps that keep them register a source at start."""

import datetime
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from reedcrew.people.models import Group


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyCount:
    """So many events of one kind on one work day; nothing about whom."""

    day_id: int
    date: datetime.date
    kind: str  # in the reader's words
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPhoto:
    """A picture: what it shows, when and where. ``read`` gives a JPEG without metadata, ``url`` leads to it."""

    name: str  # of its file in a bundle, without an ending
    caption: str
    on: datetime.date
    stand: str
    url: str
    width: int
    height: int
    read: Callable[[], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoQuestion:
    """Pictures of which stands, days and time are asked for, and how many at most."""

    group: Group
    stands: Sequence[int]
    days: Sequence[int]
    first: datetime.date
    last: datetime.date
    most: int


# Each takes a number of queries that does not grow with the days.
SafetySource = Callable[[Sequence[int]], Iterable[SafetyCount]]
PhotoSource = Callable[[PhotoQuestion], Iterable[ReportPhoto]]

_safety: dict[str, SafetySource] = {}
_photos: dict[str, PhotoSource] = {}


def register_safety(name: str, source: SafetySource) -> None:
    """Ask this source for events of work days; called from AppConfig.ready. A name again replaces its source."""
    _safety[name] = source


def register_photos(name: str, source: PhotoSource) -> None:
    """Ask this source for pictures; called from AppConfig.ready. A name again replaces its source."""
    _photos[name] = source


def safety_is_kept() -> bool:
    """Whether any app records events: without one, none in a report means nothing."""
    return bool(_safety)


def safety_of(days: Sequence[int]) -> tuple[SafetyCount, ...]:
    """Events of these days, by date and kind."""
    found = [each for source in _safety.values() for each in source(days)]
    return tuple(sorted(found, key=lambda each: (each.date, each.day_id, each.kind)))


def photos_for(question: PhotoQuestion) -> tuple[ReportPhoto, ...]:
    """Pictures by date, at most as many as asked for."""
    found = [each for source in _photos.values() for each in source(question)]
    return tuple(sorted(found, key=lambda each: (each.on, each.name))[: question.most])
