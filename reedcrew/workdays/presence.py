"""Who was on site on a day and for how long. The app that signs people in registers its answer when it starts."""

import datetime
from collections.abc import Callable, Mapping

from reedcrew.workdays.models import WorkDay

# Time on site by member key, of a closed day; one query. Struck-out stays do not count.
PresenceSource = Callable[[WorkDay], Mapping[int, datetime.timedelta]]

_sources: dict[str, PresenceSource] = {}


def register(name: str, source: PresenceSource) -> None:
    """Ask this source too; registering a name again replaces its source."""
    _sources[name] = source


def time_on_site(day: WorkDay) -> dict[int, datetime.timedelta]:
    """Time on site of everyone who was there, by member key."""
    total: dict[int, datetime.timedelta] = {}
    for source in _sources.values():
        for member, stayed in source(day).items():
            total[member] = total.get(member, datetime.timedelta(0)) + stayed
    return total
