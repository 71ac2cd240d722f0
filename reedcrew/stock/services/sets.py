"""One set: what happens to it, and where it is kept."""

import datetime
import uuid

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.stock import errors
from reedcrew.stock.models import MOVES, Booking, Entry, GearSet, Kind, Loan, Place
from reedcrew.stock.queries import state_of
from reedcrew.stock.services.posting import Move, recorded, write

# What can be recorded of a set on its own page, as far as it is in a place where the kind leads from.
SET_KINDS = (
    Kind.RETURNED,
    Kind.CLEANED,
    Kind.DRIED,
    Kind.REPAIRED,
    Kind.CAME_BACK,
    Kind.FOUND,
    Kind.DAMAGED,
    Kind.GIVEN_BACK,
    Kind.LOST,
    Kind.RETIRED,
)


def next_kinds(gear_set: GearSet, place: Place) -> list[Kind]:
    """What can happen next to a set in this place; only a borrowed one is given back, and none of those is retired."""
    wrong = Kind.GIVEN_BACK if gear_set.loan_id is None else Kind.RETIRED
    return [kind for kind in SET_KINDS if place in MOVES[kind] and kind is not wrong]


@transaction.atomic
def move_set(
    *,
    gear_set: GearSet,
    kind: Kind,
    note: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Record what happened to one set. Bookings fall away when it is lost, damaged, retired or given back.

    The same ``submission`` again returns the first entry. Raises SetElsewhere or SentAlready; then nothing changes.
    """
    group = lock_group(gear_set.group)
    said = {"set": gear_set.pk, "kind": kind.value, "note": note}
    if first := recorded(group, submission, said):
        return first
    state = state_of(gear_set)
    if kind not in next_kinds(gear_set, state.place):
        raise errors.SetElsewhere(set=gear_set, place=state.place.label, kind=kind.label)
    move = Move(
        line=gear_set.line,
        kind=kind,
        source=state.place,
        gear_set=gear_set,
        member=state.holder,
        loan=_loan(gear_set, kind),
    )
    entry = write(group=group, moves=[move], actor=actor, now=now, said=said, submission=submission, note=note)
    if kind in {Kind.LOST, Kind.DAMAGED, Kind.RETIRED, Kind.GIVEN_BACK}:
        Booking.objects.filter(gear_set=gear_set, ended_at=None).update(ended_at=now, ended_by=actor)
    return entry


@transaction.atomic
def keep_set(
    *, gear_set: GearSet, version: int, shelf: str, note: str, actor: Account, now: datetime.datetime
) -> GearSet:
    """Say where a set is kept, and what to know of it. Raises StaleSet when somebody changed it meanwhile."""
    group = lock_group(gear_set.group)
    row = GearSet.objects.for_page().get(pk=gear_set.pk)
    if row.version != version:
        raise errors.StaleSet
    row.shelf, row.note, row.version = shelf, note, row.version + 1
    row.full_clean()
    row.save(update_fields=["shelf", "note", "version"])
    record(group=group, actor=actor, at=now, deed="set changed", subject=row, shelf=shelf)
    return row


def _loan(gear_set: GearSet, kind: Kind) -> Loan | None:
    """The loan that a return ends: the one that it came by, or the one by which it was lent."""
    if kind is Kind.GIVEN_BACK:
        return gear_set.loan
    if kind is Kind.CAME_BACK:
        return gear_set.movements.filter(kind=Kind.LENT).latest("pk").loan
    return None
