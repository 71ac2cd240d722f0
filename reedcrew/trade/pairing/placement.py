"""People who go into water together, before anything else of a plan is known."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Who stays together in which zone. Members are sorted by id."""

    zone: str
    members: tuple[str, ...]
