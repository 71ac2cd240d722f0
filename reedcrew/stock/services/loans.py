"""Gear that other groups lend to this one, or this one to them, until a day."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stock import errors
from reedcrew.stock.models import Booking, Entry, GearSet, Kind, Loan, Place, StockLine
from reedcrew.stock.queries import open_of_loan, set_states
from reedcrew.stock.services.issue import Pieces
from reedcrew.stock.services.lines import LABELS_AT_ONCE, line_of, new_sets
from reedcrew.stock.services.posting import Move, recorded, write
from reedcrew.trade.items import Item


@transaction.atomic
def borrow(
    *,
    group: Group,
    party: str,
    due_on: datetime.date,
    item: Item,
    size: str = "",
    number: int,
    labels: bool = False,
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Loan:
    """Record what another group lends to this one, and when it is to be given back; it must be clean and dry.

    ``labels`` makes each piece a set with a code of its own. Raises LoanDueInPast, SizeUnfit, SizeNeedless,
    NothingMoves, TooMany or SentAlready.
    """
    group = lock_group(group)
    said = {
        "party": party,
        "due": due_on.isoformat(),
        "item": item.value,
        "size": size,
        "number": number,
        "labels": labels,
    }
    if first := recorded(group, submission, said):
        return _loan_of(first)
    if number < 1:
        raise errors.NothingMoves
    if labels and number > LABELS_AT_ONCE:
        raise errors.TooMany(after=number, most=LABELS_AT_ONCE)
    line = line_of(group=group, item=item, size=size, actor=actor, now=now)
    loan = _new_loan(group, Loan.Direction.BORROWED, party, due_on, actor, now)
    if labels:
        moves = [
            Move(line=line, kind=Kind.BORROWED, source=Place.OUTSIDE, gear_set=each, loan=loan)
            for each in new_sets(line, number, loan=loan)
        ]
    else:
        moves = [Move(line=line, kind=Kind.BORROWED, source=Place.OUTSIDE, number=number, loan=loan)]
    write(group=group, moves=moves, actor=actor, now=now, said=said, submission=submission)
    return loan


@transaction.atomic
def lend(
    *,
    group: Group,
    party: str,
    due_on: datetime.date,
    sets: Sequence[GearSet] = (),
    counted: Sequence[Pieces] = (),
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Loan:
    """Lend sets or counted pieces in stock to another group until a day; what was borrowed is not lent on.

    A set that was booked for somebody is booked no longer.

    Raises LoanDueInPast, SetNotReady, NotSoMany, NothingMoves, NothingChosen or SentAlready.
    """
    group = lock_group(group)
    said = {
        "party": party,
        "due": due_on.isoformat(),
        "sets": sorted(each.pk for each in sets),
        "counted": sorted([each.line.pk, each.number] for each in counted),
    }
    if first := recorded(group, submission, said):
        return _loan_of(first)
    loan = _new_loan(group, Loan.Direction.LENT, party, due_on, actor, now)
    moves = []
    for state in set_states(GearSet.objects.of_group(group).filter(pk__in=[each.pk for each in sets])):
        if not state.is_ready or state.gear_set.loan_id is not None:
            raise errors.SetNotReady(set=state.gear_set, place=state.place.label)
        moves.append(
            Move(line=state.gear_set.line, kind=Kind.LENT, source=Place.SHELF, gear_set=state.gear_set, loan=loan)
        )
    moves += [
        Move(line=each.line, kind=Kind.LENT, source=Place.SHELF, number=each.number, loan=loan) for each in counted
    ]
    write(group=group, moves=moves, actor=actor, now=now, said=said, submission=submission)
    Booking.objects.filter(gear_set__in=sets, ended_at=None).update(ended_at=now, ended_by=actor)
    return loan


@transaction.atomic
def return_counted(
    *,
    loan: Loan,
    line: StockLine,
    number: int,
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Record that counted pieces of a loan went back to who lent them; sets are returned on their own pages.

    What this group lent comes back to be cleaned and dried; what it borrowed leaves the stock. Raises LoanNotSoMany
    for more than is still out, NotSoMany for more than is in stock, NothingMoves or SentAlready.
    """
    group = lock_group(loan.group)
    said = {"loan": loan.pk, "line": line.pk, "number": number}
    if first := recorded(group, submission, said):
        return first
    still_open = open_of_loan(loan, line)
    if number > still_open:
        raise errors.LoanNotSoMany(open=still_open, number=number)
    borrowed = loan.direction == Loan.Direction.BORROWED
    move = Move(
        line=line,
        kind=Kind.GIVEN_BACK if borrowed else Kind.CAME_BACK,
        source=Place.SHELF if borrowed else Place.LENT,
        number=number,
        loan=loan,
    )
    return write(group=group, moves=[move], actor=actor, now=now, said=said, submission=submission)


# --- Private ---------------------------------------------------------------------------------------------------------


def _loan_of(entry: Entry) -> Loan:
    return Loan.objects.select_related("group").get(movements=entry.movements.earliest("pk"))


def _new_loan(
    group: Group,
    direction: Loan.Direction,
    party: str,
    due_on: datetime.date,
    actor: Account,
    now: datetime.datetime,
) -> Loan:
    if due_on < now.date():
        raise errors.LoanDueInPast
    loan = Loan(group=group, direction=direction, party=party, due_on=due_on, made_by=actor, made_at=now)
    loan.full_clean()
    loan.save()
    record(group=group, actor=actor, at=now, deed="loan recorded", subject=loan, direction=direction.value)
    return loan
