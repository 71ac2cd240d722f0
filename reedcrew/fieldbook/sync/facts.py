"""What the folding of a day works on: its entries as they were sent, and what the day knows of its people."""

import datetime
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

# Where two entries have one time: people are signed in before they go in water and come out before they sign out, and
# whoever comes out and goes in at one moment counts as in water.
_RANK = {"sign_in": 0, "walk_up": 0, "briefing_heard": 1, "all_out": 2, "water_out": 3, "water_in": 4, "head_check": 5}
_LAST = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One entry as it was sent. ``data`` is of its kind, see contract; ``who`` is the member that a walk-up became."""

    entry_id: uuid.UUID
    digest: str
    kind: str
    at: datetime.datetime
    data: Mapping[str, Any]
    phone: int | None = None
    author: int = 0
    who: int | None = None

    @property
    def key(self) -> tuple[uuid.UUID, str]:
        return self.entry_id, self.digest

    @property
    def order(self) -> tuple[datetime.datetime, int, uuid.UUID]:
        return self.at, _RANK.get(self.kind, _LAST), self.entry_id

    @property
    def is_sign_in(self) -> bool:
        return self.kind in {"sign_in", "walk_up"}

    @property
    def member(self) -> int | None:
        """The one person of a sign-in, walk-up or absence."""
        return self.who if self.kind == "walk_up" else self.data.get("member")

    @property
    def members(self) -> list[int]:
        return list(dict.fromkeys(self.data.get("members", ())))

    @property
    def in_water(self) -> bool:
        return bool(self.data.get("in_water"))

    @property
    def stay(self) -> uuid.UUID | None:
        return uuid.UUID(self.data["stay"]) if self.data.get("stay") else None

    @property
    def targets(self) -> list[uuid.UUID]:
        """The entries that a strike names."""
        return [uuid.UUID(each) for each in (self.data["entry"], *self.data.get("also", ()))]


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Why somebody should look at an entry. ``refused``: nothing follows from it; else it was taken."""

    code: str
    refused: bool = False
    values: Mapping[str, str] = field(default_factory=dict)
    other: uuid.UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the day knows of its people: names, minors with their guardians, who has a place, and the deep zones.

    ``deep_zones`` are those in which nobody under 18 may be. ``clock`` writes a time as people at the site read it.
    """

    names: Mapping[int, str]
    minors: Mapping[int, int | None] = field(default_factory=dict)
    placed: frozenset[int] = frozenset()
    deep_zones: frozenset[int] = frozenset()
    clock: Callable[[datetime.datetime], str]

    def name(self, member: int) -> str:
        return self.names.get(member, f"#{member}")

    def named(self, member: int, **values: str) -> dict[str, str]:
        return {"name": self.name(member), **values}
