"""Gear goes out to a person on a day, and comes back."""

import datetime
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass

from django.db import transaction

from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group, Member
from reedcrew.stock import errors
from reedcrew.stock.models import Booking, Entry, GearSet, Kind, Occasion, Place, StockLine
from reedcrew.stock.queries import (
    Outing,
    SetState,
    booked_elsewhere,
    may_be_used,
    set_states,
    standing_bookings,
)
from reedcrew.stock.services.posting import Move, recorded, write
from reedcrew.web.times import day_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """So many counted pieces of a line."""

    line: StockLine
    number: int


def occasion_of(group: Group, outing: Outing) -> Occasion:
    """The stock's row for a day, as the day is now."""
    facts = asdict(outing)
    key = facts.pop("key")
    row, _made = Occasion.objects.update_or_create(group=group, key=key, defaults=facts)
    return row


@transaction.atomic
def issue(
    *,
    group: Group,
    outing: Outing,
    member: Member,
    sets: Sequence[GearSet] = (),
    counted: Sequence[Pieces] = (),
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Hand out sets and counted pieces to a person on a day: all of it or nothing.

    Only what is in stock clean and dry goes out, or what is dry and was used at the same site. A set that was booked
    for somebody else of the same day is theirs no longer. The same ``submission`` again returns the first entry.
    Raises SetNotReady, SetNotCleaned, SetBooked, LoanDueBefore, NotSoMany, NothingMoves, NothingChosen, SentAlready.
    """
    group = lock_group(group)
    said = {"day": outing.key, "member": member.pk, **_said(sets, counted)}
    if first := recorded(group, submission, said):
        return first
    states = set_states(GearSet.objects.of_group(group).filter(pk__in=[each.pk for each in sets]))
    _ask_ready(group, outing, states)
    occasion = occasion_of(group, outing)
    moves = [
        *(
            Move(
                line=state.gear_set.line,
                kind=Kind.ISSUED,
                source=state.place,
                gear_set=state.gear_set,
                member=member,
                occasion=occasion,
            )
            for state in states
        ),
        *(
            Move(
                line=each.line,
                kind=Kind.ISSUED,
                source=Place.SHELF,
                number=each.number,
                member=member,
                occasion=occasion,
            )
            for each in counted
        ),
    ]
    given = {state.gear_set.pk: state.gear_set.line_id for state in states}
    bookings = list(standing_bookings(group, outing.key).select_related("gear_set"))
    unbooked = given.keys() - {each.gear_set_id for each in bookings}
    entry = write(
        group=group,
        moves=moves,
        actor=actor,
        now=now,
        said=said,
        submission=submission,
        tell=bool(unbooked),
    )
    Booking.objects.filter(pk__in=_settled(bookings, member, given)).update(ended_at=now, ended_by=actor)
    return entry


@transaction.atomic
def take_back(
    *,
    group: Group,
    key: int,
    member: Member,
    sets: Mapping[GearSet, Kind] | None = None,
    counted: Sequence[tuple[Pieces, Kind]] = (),
    note: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Take back from a person what they were handed on the day of this key: returned, found damaged, or lost.

    All or nothing. Raises SetElsewhere for a set that this person has not, NotOut for more pieces than they have,
    NothingMoves, NothingChosen or SentAlready.
    """
    group = lock_group(group)
    sets = sets or {}
    said = {
        "day": key,
        "member": member.pk,
        "sets": sorted([each.pk, kind.value] for each, kind in sets.items()),
        "counted": sorted([each.line.pk, each.number, kind.value] for each, kind in counted),
        "note": note,
    }
    if first := recorded(group, submission, said):
        return first
    occasion = Occasion.objects.filter(group=group, key=key).first()
    kinds = {each.pk: kind for each, kind in sets.items()}
    moves = []
    for state in set_states(GearSet.objects.of_group(group).filter(pk__in=kinds)):
        kind = kinds[state.gear_set.pk]
        if state.holder != member or state.occasion != occasion:
            raise errors.SetElsewhere(set=state.gear_set, place=state.place.label, kind=kind.label)
        moves.append(
            Move(
                line=state.gear_set.line,
                kind=kind,
                source=Place.ISSUED,
                gear_set=state.gear_set,
                member=member,
                occasion=occasion,
            )
        )
    for pieces, kind in counted:
        if occasion is None:
            raise errors.NotOut(name=member.name, out=0, line=pieces.line, number=pieces.number)
        moves.append(
            Move(
                line=pieces.line,
                kind=kind,
                source=Place.ISSUED,
                number=pieces.number,
                member=member,
                occasion=occasion,
            )
        )
    return write(group=group, moves=moves, actor=actor, now=now, said=said, submission=submission, note=note)


# --- Private ---------------------------------------------------------------------------------------------------------


def _said(sets: Sequence[GearSet], counted: Sequence[Pieces]) -> dict[str, object]:
    return {
        "sets": sorted(each.pk for each in sets),
        "counted": sorted([each.line.pk, each.number] for each in counted),
    }


def _settled(bookings: Sequence[Booking], member: Member, given: Mapping[int, int]) -> list[int]:
    """Bookings that end as sets (``given``, with their lines) go to a person: others' of these, and the person's own
    of another set of the same kind."""
    theirs = {each.gear_set_id for each in bookings if each.member_id == member.pk}
    instead = {line for gear_set, line in given.items() if gear_set not in theirs}
    return [
        each.pk
        for each in bookings
        if (each.member_id != member.pk and each.gear_set_id in given)
        or (each.member_id == member.pk and each.gear_set_id not in given and each.gear_set.line_id in instead)
    ]


def _ask_ready(group: Group, outing: Outing, states: Sequence[SetState]) -> None:
    taken = booked_elsewhere(group, outing)
    for state in states:
        gear_set = state.gear_set
        if occasion := taken.get(gear_set.pk):
            raise errors.SetBooked(set=gear_set, title=occasion.title)
        if may_be_used(state, outing):
            continue
        if gear_set.loan is not None and gear_set.loan.due_on < outing.date:
            raise errors.LoanDueBefore(set=gear_set, party=gear_set.loan.party, day=day_text(gear_set.loan.due_on))
        if state.place is Place.AIRED:
            raise errors.SetNotCleaned(set=gear_set)
        raise errors.SetNotReady(set=gear_set, place=state.place.label)
