"""What the page of a set offers beside the stock's own deeds: apps downstream register sources when they start."""

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from django.utils.functional import Promise

from reedcrew.people.access import GroupRequest
from reedcrew.stock.models import GearSet


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAction:
    """A link on the page of a set that is in stock."""

    label: str | Promise
    url: str


SetActionSource = Callable[[GroupRequest, GearSet, datetime.datetime], list[SetAction]]

_sources: list[SetActionSource] = []


def register(source: SetActionSource) -> None:
    """Ask ``source`` for links on the page of each set. Registering the same again changes nothing."""
    if source not in _sources:
        _sources.append(source)


def actions_for(request: GroupRequest, gear_set: GearSet, now: datetime.datetime) -> list[SetAction]:
    """The links for this reader, of all sources."""
    return [action for source in _sources for action in source(request, gear_set, now)]
