"""Rows of lists of stands."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from reedcrew.stands.models import Stand
from reedcrew.stands.queries.seasons import window_of
from reedcrew.trade.policy import Policy
from reedcrew.trade.season import SeasonVerdict, verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class StandRow:
    """A stand in a list: where it is, what it is, and what the calendar says today."""

    stand: Stand
    today: SeasonVerdict
    year_of_treatment: int | None


def stand_rows(stands: Iterable[Stand], policy: Policy, at: datetime.datetime) -> tuple[StandRow, ...]:
    """Rows of a list of stands, which come with their sites; no further query."""
    rows = []
    for stand in stands:
        day = at.astimezone(stand.site.zone_info).date()
        rows.append(
            StandRow(
                stand=stand,
                today=verdict(window_of(stand.site, policy), day),
                year_of_treatment=stand.year_of_treatment(day.year),
            )
        )
    return tuple(rows)
