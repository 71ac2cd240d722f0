"""What other apps show on the first page and on a group's start page: they register panels when they start."""

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A part of a start page: a template, and the values that it is printed with."""

    template: str
    context: Mapping[str, Any] = field(default_factory=dict)


# Asked once for each page with the request and the present moment; None when there is nothing to show this reader.
# ``request.user`` is signed in; on a group's page ``request.group`` and ``request.member`` are set as everywhere there.
PanelSource = Callable[[HttpRequest, datetime.datetime], Panel | None]

_home: dict[PanelSource, int] = {}
_group: dict[PanelSource, int] = {}


def register_home_panel(source: PanelSource, *, order: int) -> None:
    """Show the panel of ``source`` on the first page of people who are signed in, smallest order first.

    Called from AppConfig.ready; registering the same source again moves it.
    """
    _home[source] = order


def register_group_panel(source: PanelSource, *, order: int) -> None:
    """Show the panel of ``source`` on the start page of each group, smallest order first."""
    _group[source] = order


def home_panels(request: HttpRequest, now: datetime.datetime) -> list[Panel]:
    """The panels of the first page for this reader."""
    return _asked(_home, request, now)


def group_panels(request: HttpRequest, now: datetime.datetime) -> list[Panel]:
    """The panels of a group's start page for this reader."""
    return _asked(_group, request, now)


def _asked(sources: dict[PanelSource, int], request: HttpRequest, now: datetime.datetime) -> list[Panel]:
    ordered = sorted(sources, key=lambda source: (sources[source], source.__module__, source.__qualname__))
    return [panel for source in ordered if (panel := source(request, now)) is not None]
