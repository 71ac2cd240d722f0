"""What was cut at stands and in how many hours. The app that keeps the days registers its records when it starts."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.trade.effort import together

RATE_DAYS = 100  # closed days that a group's work rate is learned from, the latest (convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneCut:
    """Stems cut in one zone on one day by one tally, with the limits of its interval where it has one."""

    zone_id: int
    stems: int
    low: int | None = None
    high: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SideWork:
    """What was done on one day in water or on land: who cut, their hours, and the tallies."""

    people: int = 0
    person_hours: float = 0.0
    cut: tuple[ZoneCut, ...] = ()

    @property
    def stems(self) -> int:
        return sum(each.stems for each in self.cut)

    @property
    def tallied(self) -> bool:
        """Whether anybody counted: without a tally the stems are unknown, not 0."""
        return bool(self.cut)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRecord:
    """One closed day of a stand. ``shore_hours`` are those of people on shore who did not cut."""

    day_id: int
    stand_id: int
    date: datetime.date
    in_water: SideWork
    on_land: SideWork
    shore_hours: float

    @property
    def cut(self) -> tuple[ZoneCut, ...]:
        return self.in_water.cut + self.on_land.cut

    @property
    def person_hours(self) -> float:
        """Hours of everyone who was there."""
        return self.in_water.person_hours + self.on_land.person_hours + self.shore_hours


class WorkSource(Protocol):
    """Closed days of a group, the latest first: all of one stand, the group's latest so many, or both, each day once.

    Takes a number of queries that does not grow with the days.
    """

    def __call__(self, group: Group, *, stand: Stand | None, latest: int | None) -> Sequence[WorkRecord]: ...


_sources: dict[str, WorkSource] = {}


def register(name: str, source: WorkSource) -> None:
    """Ask this source too; called from AppConfig.ready. Registering a name again replaces its source."""
    _sources[name] = source


def records_of_stand(stand: Stand) -> tuple[WorkRecord, ...]:
    """Every closed day of a stand, oldest first. The stand comes with its site and group."""
    found = [each for source in _sources.values() for each in source(stand.site.group, stand=stand, latest=None)]
    return _oldest_first(found)


def latest_records(group: Group, latest: int = RATE_DAYS) -> tuple[WorkRecord, ...]:
    """The group's latest closed days, oldest first."""
    found = [each for source in _sources.values() for each in source(group, stand=None, latest=latest)]
    return _oldest_first(found)[-latest:]


def records_around(stand: Stand, latest: int = RATE_DAYS) -> tuple[tuple[WorkRecord, ...], tuple[WorkRecord, ...]]:
    """Every closed day of a stand, and the latest of its group, each oldest first; read together, not one by one."""
    found = [each for source in _sources.values() for each in source(stand.site.group, stand=stand, latest=latest)]
    ordered = _oldest_first(found)
    return tuple(each for each in ordered if each.stand_id == stand.pk), ordered[-latest:]


def stems_of(cut: Sequence[ZoneCut]) -> tuple[int, int, int]:
    """Stems of some tallies and the limits of their sum."""
    return together([(each.stems, each.low, each.high) for each in cut])


def stems_of_day(stand: Stand, day_id: int) -> tuple[int, int, int] | None:
    """Stems of one closed day of a stand and the limits of their sum; None where nobody counted."""
    cut = [cut for each in records_of_stand(stand) if each.day_id == day_id for cut in each.cut]
    return stems_of(cut) if cut else None


def _oldest_first(found: Sequence[WorkRecord]) -> tuple[WorkRecord, ...]:
    return tuple(sorted(found, key=lambda each: (each.date, each.day_id)))
