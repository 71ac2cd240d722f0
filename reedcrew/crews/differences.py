"""What people would have to be told anew if one plan took the place of another."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reedcrew.crews.records import allotment_records
from reedcrew.trade.plan import Allotment, Plan
from reedcrew.trade.reasons import Reason
from reedcrew.trade.what_if import compare


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherGear:
    """Somebody who stays where they were told to be, with other gear."""

    person: str
    gear: Sequence[Mapping[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Differences:
    """Who would be elsewhere, in words by the trade, and who would only wear something else. People are keys."""

    moves: tuple[tuple[str, Reason], ...]
    gear: tuple[OtherGear, ...]

    def __bool__(self) -> bool:
        return bool(self.moves or self.gear)

    @property
    def people(self) -> tuple[str, ...]:
        """Everybody who would be told something new, sorted by key."""
        return tuple(sorted({person for person, _reason in self.moves} | {each.person for each in self.gear}, key=int))


def differences(told: Plan, proposed: Plan) -> Differences:
    """What a proposal changes of what people were told."""
    moves = tuple((move.person, move.reason) for move in compare(told, proposed).moves)
    moved = {person for person, _reason in moves}
    had, has = _gear(told), _gear(proposed)
    return Differences(
        moves=moves,
        gear=tuple(
            OtherGear(person=person, gear=allotment_records(has[person]))
            for person in sorted(set(had) & set(has) - moved, key=int)
            if set(had[person]) != set(has[person])
        ),
    )


def _gear(plan: Plan) -> dict[str, tuple[Allotment, ...]]:
    found = {member: pieces for unit in plan.units for member, pieces in unit.gear}
    return found | {duty.volunteer: duty.gear for duty in plan.shore}
