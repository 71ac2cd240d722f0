"""Writing to the ledger: every movement of a press is judged against what is there, then all are written or none."""

import datetime
import uuid
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reedcrew.people.audit import record
from reedcrew.people.models import Account, Group, Member
from reedcrew.stock import errors
from reedcrew.stock.models import MOVES, Entry, GearSet, Kind, Loan, Movement, Occasion, Place, StockLine
from reedcrew.stock.queries import PlaceCounts, last_movements, out_with, place_counts
from reedcrew.stock.signals import stock_changed
from reedcrew.trade.stock_sizes import COUNT_MAX

# What changes nothing about what plans may promise: a plan is made anew when gear is clean and dry again, lost or
# broken, not each time that somebody brings back what the plan gave them.
QUIET = frozenset({Kind.ISSUED, Kind.RETURNED, Kind.CLEANED, Kind.LABELLED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Pieces of a line, or one set, that leave a place. Where to, the ledger's table says."""

    line: StockLine
    kind: Kind
    source: Place
    number: int = 1
    gear_set: GearSet | None = None
    member: Member | None = None
    occasion: Occasion | None = None
    loan: Loan | None = None


def recorded(group: Group, submission: uuid.UUID | None, said: Mapping[str, object]) -> Entry | None:
    """The entry that this form made already, as after a double press; the group is locked.

    Raises SentAlready where the form says something else now, as after a step back in the browser.
    """
    if submission is None:
        return None
    entry = Entry.objects.filter(group=group, submission=submission).first()
    if entry is not None and entry.said != said:
        raise errors.SentAlready
    return entry


def write(
    *,
    group: Group,
    moves: Sequence[Move],
    actor: Account,
    now: datetime.datetime,
    said: Mapping[str, object],
    submission: uuid.UUID | None = None,
    note: str = "",
    tell: bool | None = None,
) -> Entry:
    """Write one entry with its movements. Called in a transaction with the group locked: all or nothing.

    ``tell`` says whether plans have to know; by default the kinds decide. The number of queries does not grow with the
    moves. Raises NothingChosen, NothingMoves, SetElsewhere, NotSoMany, NotOut and TooMany.
    """
    if not moves:
        raise errors.NothingChosen
    judged = _Judge(moves).movements()
    entry = Entry(group=group, submission=submission, said=dict(said), note=note, made_by=actor, made_at=now)
    entry.full_clean(exclude=["said"])
    entry.save()
    for movement in judged:
        movement.entry = entry
    Movement.objects.bulk_create(judged)
    kinds = {move.kind for move in moves}
    record(
        group=group,
        actor=actor,
        at=now,
        deed="stock moved",
        subject=entry,
        kinds=sorted(kind.value for kind in kinds),
        pieces=sum(move.number for move in moves),
    )
    if (not kinds <= QUIET) if tell is None else tell:
        stock_changed.send(StockLine, group=group, now=now)
    return entry


class _Judge:
    """Follows the balances through the moves of one entry, so that two moves of it cannot take the same piece."""

    def __init__(self, moves: Sequence[Move]) -> None:
        self._moves = moves
        counted = [move for move in moves if move.gear_set is None]
        self._counts = place_counts((move.line for move in counted), counted_only=True) if counted else {}
        self._last = last_movements(move.gear_set for move in moves if move.gear_set is not None)
        self._places = {pk: Place(last.target) for pk, last in self._last.items()}
        self._out: Counter[tuple[int, int, int]] = Counter()
        for occasion in {move.occasion for move in counted if move.occasion is not None}:
            members = {move.member.pk for move in counted if move.member is not None}
            for (member, line), pieces in out_with(occasion.pk, members).items():
                self._out[occasion.pk, member, line] = pieces

    def movements(self) -> list[Movement]:
        return [self._set(move, move.gear_set) if move.gear_set else self._counted(move) for move in self._moves]

    def _set(self, move: Move, gear_set: GearSet) -> Movement:
        place = self._places.get(gear_set.pk, Place.OUTSIDE)
        target = MOVES[move.kind].get(place)
        if place is not move.source or target is None:
            raise errors.SetElsewhere(set=gear_set, place=place.label, kind=move.kind.label)
        self._places[gear_set.pk] = target
        return self._movement(move, target, occasion=self._occasion_of(move, gear_set))

    def _occasion_of(self, move: Move, gear_set: GearSet) -> Occasion | None:
        """A set keeps the day on which it was used until it is in stock: it is by this that the site is known."""
        if move.occasion is not None or move.kind in {Kind.RECEIVED, Kind.BORROWED, Kind.LABELLED, Kind.FOUND}:
            return move.occasion
        last = self._last.get(gear_set.pk)
        return last.occasion if last is not None and last.target != Place.SHELF else None

    def _counted(self, move: Move) -> Movement:
        if move.number < 1:
            raise errors.NothingMoves
        target = MOVES[move.kind][move.source]
        counts = self._counts.setdefault(move.line.pk, PlaceCounts())
        if move.source is Place.ISSUED and move.member is not None and move.occasion is not None:
            key = move.occasion.pk, move.member.pk, move.line.pk
            if self._out[key] < move.number:
                raise errors.NotOut(name=move.member.name, out=self._out[key], line=move.line, number=move.number)
            self._out[key] -= move.number
        if move.source is not Place.OUTSIDE:
            if counts[move.source] < move.number:
                raise errors.NotSoMany(
                    line=move.line,
                    on_hand=counts[move.source],
                    place=move.source.label,
                    number=move.number,
                )
            counts[move.source] -= move.number
        counts[target] += move.number
        if target is not Place.OUTSIDE and counts[target] > COUNT_MAX:
            raise errors.TooMany(after=counts[target], most=COUNT_MAX)
        return self._movement(move, target, occasion=move.occasion)

    def _movement(self, move: Move, target: Place, occasion: Occasion | None) -> Movement:
        return Movement(
            line=move.line,
            gear_set=move.gear_set,
            kind=move.kind,
            number=move.number,
            source=move.source,
            target=target,
            member=move.member,
            occasion=occasion,
            loan=move.loan,
        )
