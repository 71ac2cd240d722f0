"""What an organizer fixes before a day is planned: who works with whom, where, as what, and what must not be.

A pin never overrules a hard rule. One that would, alone or together with others, is refused with the rule's code:
``pairing.pin_refusals`` tells, and ``pairing.plan_day`` raises ``PinsRefused``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.trade.plan import Role
from reedcrew.trade.reasons import Reason

CODE_JOINTLY = "pins"  # the code of a refusal that no single rule of H1 to H11 gives


class PinKind(StrEnum):
    """What a pin says. Values are the words of the plan contract."""

    PAIR = "pair"  # person and other are in one unit
    ZONE = "zone"  # person is in water, in this zone
    ROLE = "role"  # person has this role on shore, in this zone if one is named
    NOT_PAIR = "not pair"  # person and other are never in one unit
    NOT_ZONE = "not zone"  # person neither enters, watches nor cuts in this zone
    NOT_WATER = "not water"  # person is in no unit
    NOT_ROLE = "not role"  # person does not have this role


NEEDS_OTHER = frozenset({PinKind.PAIR, PinKind.NOT_PAIR})
NEEDS_ZONE = frozenset({PinKind.ZONE, PinKind.NOT_ZONE})
NEEDS_ROLE = frozenset({PinKind.ROLE, PinKind.NOT_ROLE})
HAS_ZONE = frozenset({Role.SPOTTER, Role.SPADE_CREW})  # roles that are held at a zone; a spotter always has one
IN_WATER = frozenset({PinKind.PAIR, PinKind.ZONE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """One pin. ``person`` and ``other`` are ids of the roster, ``zone`` is a zone's name.

    Which fields a kind needs is told beside it; a zone is optional with ROLE (but a spotter always has one), and any
    other field is empty. ``pairing.plan_day`` refuses a pin of another shape as UnusableInput, by ``pins[0].field``.
    """

    kind: PinKind
    person: str
    other: str | None = None
    zone: str | None = None
    role: Role | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PinRefusal:
    """Why pins cannot be kept. ``places`` are the pins' places in ``Day.pins``.

    Several pins stand here where each could be kept alone: then they are a smallest set that cannot be kept together,
    for without any one of them the rest could.
    """

    pins: tuple[Pin, ...]
    places: tuple[int, ...]
    reason: Reason

    @property
    def code(self) -> str:
        """The rule, H1 to H11, or "pins"."""
        return self.reason.code.partition(".")[0]


class PinsRefused(ValueError):
    """The pins of a day cannot all be kept. ``refusals`` has at least one entry."""

    def __init__(self, refusals: Sequence[PinRefusal]) -> None:
        self.refusals = tuple(refusals)
        super().__init__("; ".join(refusal.reason.text for refusal in self.refusals))
