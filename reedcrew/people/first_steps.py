"""The way of a new group to its first posted day: apps register its steps, which tick themselves from the data."""

import datetime
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from reedcrew.people.models import Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: what to do and why, whether it is done, and where. ``url`` is empty while an earlier step is not done.

    ``optional`` steps may be left: what holds without them is common practice.
    """

    label: str
    why: str
    is_done: bool
    url: str = ""
    optional: bool = False
    is_next: bool = False


# Asked for a group without a posted day, with the present moment; the steps of one app in their order.
StepSource = Callable[[Group, datetime.datetime], Iterable[Step]]

_sources: dict[StepSource, int] = {}
_begun: dict[Callable[[Group], bool], None] = {}


def register(source: StepSource, *, order: int) -> None:
    """Ask ``source`` for steps, smallest order first. Called from AppConfig.ready; again moves it."""
    _sources[source] = order


def register_begun(has_begun: Callable[[Group], bool]) -> None:
    """Let ``has_begun`` say whether a group has its first day behind it: then there are no steps any more."""
    _begun[has_begun] = None


def first_steps(group: Group, now: datetime.datetime) -> Sequence[Step]:
    """The steps of a group on its way to the first day, the next one marked; none once it has begun."""
    if not _begun or any(has_begun(group) for has_begun in _begun):
        return ()
    ordered = sorted(_sources, key=lambda source: (_sources[source], source.__module__, source.__qualname__))
    steps = [step for source in ordered for step in source(group, now)]
    open_steps = (number for number, step in enumerate(steps) if step.url and not step.is_done and not step.optional)
    following = next(open_steps, None)
    return tuple(replace(step, is_next=number == following) for number, step in enumerate(steps))
