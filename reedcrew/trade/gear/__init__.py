"""The gear list of a day: what every person wears and carries, what the crew shares, and what is short."""

from reedcrew.trade.gear.complete import complete

__all__ = ["complete"]
