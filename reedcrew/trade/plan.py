"""The plan of one work day: the result of trade.pairing, completed by trade.gear."""

from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.changes import Change
from reedcrew.trade.items import Item
from reedcrew.trade.reasons import Reason
from reedcrew.trade.words import gettext_noop as _

PAIR, TRIO = 2, 3  # people of a unit (H1)


class Status(StrEnum):
    """How good a plan is known to be."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    NO_WATER_WORK = "no_water_work"


class Role(StrEnum):
    """What a person does who is in no unit."""

    SPOTTER = _("spotter")
    FIRST_AIDER = _("first-aider")
    SIGN_IN_DESK = _("sign-in desk")
    HAULER = _("hauler")
    SPADE_CREW = _("spade crew")


class Source(StrEnum):
    """Whose a piece of gear is."""

    OWN = "own"
    STOCK = "stock"


@dataclass(frozen=True, slots=True, kw_only=True)
class Allotment:
    """One piece of gear for one person."""

    item: Item
    size: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """Two people, or the plan's one unit of three, who stay together in a zone with water."""

    zone: str
    members: tuple[str, ...]
    gear: tuple[tuple[str, tuple[Allotment, ...]], ...]  # one entry a member, in the members' order
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A single change that would let somebody in or open a zone, in words. What was checked: pairing.remedies."""

    reason: Reason
    change: Change

    @property
    def code(self) -> str:
        """What kind of change, for machines."""
        return self.reason.code

    @property
    def text(self) -> str:
        """The change in English."""
        return self.reason.text


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoreRole:
    """One person's role out of the water. ``remedies`` would put them in water who are ready for it."""

    volunteer: str
    role: Role
    zone: str | None
    reasons: tuple[Reason, ...]
    gear: tuple[Allotment, ...] = ()
    remedies: tuple[Remedy, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NotPlaced:
    """A person with nothing to do in this plan, why, and what would give them something to do."""

    volunteer: str
    reasons: tuple[Reason, ...]
    remedies: tuple[Remedy, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedZone:
    """A zone nobody may enter today, why, and what would open it."""

    zone: str
    reasons: tuple[Reason, ...]
    remedies: tuple[Remedy, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class GearLine:
    """One line of the gear list. Counts are pieces, or litres and millilitres where ``unit`` says so.

    ``who`` are the people the line's pieces go to, ``without`` those who need one and get none; both are empty for gear
    that the crew shares.
    """

    item: Item
    size: str
    unit: str
    needed: float
    own: float
    in_stock: float
    short: float
    reasons: tuple[Reason, ...] = ()
    who: tuple[str, ...] = ()
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The whole plan. Every volunteer stands in exactly one of units, shore and not_placed.

    ``objective`` has one number a goal, in the design's order, and ``bound`` the solver's proven bound for each.
    ``changed`` are the people whose assignment is not what they were told, of whom no plan has fewer than
    ``changed_bound`` (see trade.told); without anything told they are empty and 0.
    """

    status: Status
    objective: tuple[int, ...]
    bound: tuple[int, ...]
    units: tuple[Unit, ...]
    shore: tuple[ShoreRole, ...]
    not_placed: tuple[NotPlaced, ...]
    closed_zones: tuple[ClosedZone, ...]
    gear: tuple[GearLine, ...]
    warnings: tuple[Reason, ...]
    changed: tuple[str, ...] = ()
    changed_bound: int = 0
