"""What a day's shared page adds for the people who are signed up for it: apps downstream register their parts at start.

One address before and after: the link that somebody was sent becomes the page of their own day, and in the end of what
was done on it.
"""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reedcrew.people.home import Panel
from reedcrew.people.models import Account
from reedcrew.workdays.models import SignUp, WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class MyDay:
    """A day as the page knows it for one reader: their own sign-ups and their children's, of which there is one."""

    day: WorkDay
    account: Account
    own: Sequence[SignUp]
    now: datetime.datetime

    @property
    def ahead(self) -> bool:
        """Whether the day is still to come or under way."""
        return self.day.is_open and not self.day.has_ended(self.now)

    @property
    def confirmed(self) -> list[SignUp]:
        """Those who have a place."""
        return [each for each in self.own if each.state == SignUp.State.CONFIRMED]


# Asked once for each page; None when there is nothing to show this reader.
MyDaySource = Callable[[MyDay], Panel | None]

_sources: dict[MyDaySource, int] = {}


def register(source: MyDaySource, *, order: int) -> None:
    """Show the panel of ``source`` to the people of a day, smallest order first; registering it again moves it."""
    _sources[source] = order


def panels_of(mine: MyDay) -> list[Panel]:
    """The panels of a day for this reader; none for somebody who is not signed up."""
    if not mine.own:
        return []
    ordered = sorted(_sources, key=lambda source: (_sources[source], source.__module__, source.__qualname__))
    return [panel for source in ordered if (panel := source(mine)) is not None]
