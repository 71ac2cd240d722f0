"""After the day: gear is cleaned, then dried, and only then in stock again (design, rule 7)."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stock import errors
from reedcrew.stock.models import MOVES, Entry, GearSet, Kind, Place
from reedcrew.stock.queries import set_states
from reedcrew.stock.services.issue import Pieces
from reedcrew.stock.services.posting import Move, recorded, write

# Where counted pieces wait for each: of them nobody knows on which site they were used, so dry alone is not enough.
WAITS: dict[Kind, Place] = {Kind.CLEANED: Place.USED, Kind.DRIED: Place.WASHED}


@transaction.atomic
def mark(
    *,
    group: Group,
    kind: Kind,
    sets: Sequence[GearSet] = (),
    counted: Sequence[Pieces] = (),
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Record that many pieces were cleaned, or that they are dry; who and when stands with each.

    ``kind`` is CLEANED or DRIED. A set that is dried without having been cleaned may be used at the same site only.
    All or nothing; the same ``submission`` again returns the first entry. Raises SetElsewhere, NotSoMany, NothingMoves,
    NothingChosen or SentAlready, and ValueError for another kind.
    """
    if kind not in WAITS:
        raise ValueError(f"{kind} is neither cleaning nor drying")
    group = lock_group(group)
    said = {
        "kind": kind.value,
        "sets": sorted(each.pk for each in sets),
        "counted": sorted([each.line.pk, each.number] for each in counted),
    }
    if first := recorded(group, submission, said):
        return first
    moves = []
    for state in set_states(GearSet.objects.of_group(group).filter(pk__in=[each.pk for each in sets])):
        if state.place not in MOVES[kind]:
            raise errors.SetElsewhere(set=state.gear_set, place=state.place.label, kind=kind.label)
        moves.append(Move(line=state.gear_set.line, kind=kind, source=state.place, gear_set=state.gear_set))
    moves += [Move(line=each.line, kind=kind, source=WAITS[kind], number=each.number) for each in counted]
    return write(group=group, moves=moves, actor=actor, now=now, said=said, submission=submission)
