"""Lines of counted pieces, and giving pieces labels of their own."""

import datetime
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext

from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stock import errors
from reedcrew.stock.models import MOVES, Entry, GearSet, Kind, Loan, Place, StockLine
from reedcrew.stock.queries import counted_in_stock
from reedcrew.stock.services.posting import Move, recorded, write
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import size_fits, sizes_of

# What happens to counted pieces without a person or another group; the rest has its own pages.
COUNTED_KINDS = (
    Kind.RECEIVED,
    Kind.USED_UP,
    Kind.DAMAGED,
    Kind.REPAIRED,
    Kind.LOST,
    Kind.FOUND,
    Kind.RETIRED,
    Kind.RECOUNTED,
)
LABELS_AT_ONCE = 200  # sets that one press makes; more is a slip (convention)


@transaction.atomic
def add_line(
    *,
    group: Group,
    item: Item,
    size: str = "",
    number: int,
    note: str = "",
    labels: bool = False,
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> StockLine:
    """Add a kind and size of gear to a group's stock, with the number that is there now as its first movement.

    ``labels`` makes each piece a set with a code of its own. The same ``submission`` again returns the first line.
    Raises SizeUnfit or SizeNeedless for a size that the item does not come in, LineExists, NothingMoves for a number
    under 1, TooMany, and SentAlready for a form that says something else the second time.
    """
    lock_group(group)
    said = {"item": item.value, "size": size, "number": number, "note": note, "labels": labels}
    if first := recorded(group, submission, said):
        return first.movements.earliest("pk").line
    line = line_of(group=group, item=item, size=size, actor=actor, now=now, note=note, new=True)
    _receive(line, number, labels=labels, actor=actor, now=now, said=said, submission=submission)
    return line


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """So many sound pieces of one item and size."""

    item: Item
    size: str
    number: int


@transaction.atomic
def count_first(
    *, group: Group, counted: Sequence[Counted], actor: Account, now: datetime.datetime, submission: uuid.UUID
) -> list[StockLine]:
    """Add several lines at once, as a new group counts what it has: all of them, or none.

    The same ``submission`` again returns the first lines. Raises what add_line raises.
    """
    lock_group(group)
    return [
        add_line(
            group=group,
            item=each.item,
            size=each.size,
            number=each.number,
            actor=actor,
            now=now,
            submission=uuid.uuid5(submission, f"{each.item}/{each.size}"),
        )
        for each in counted
    ]


def line_of(
    *, group: Group, item: Item, size: str, actor: Account, now: datetime.datetime, note: str = "", new: bool = False
) -> StockLine:
    """The line of an item and size, made where there is none; the group is locked.

    Raises SizeUnfit, SizeNeedless, and with ``new`` LineExists.
    """
    ask_size(item, size)
    if there := StockLine.objects.of_group(group).filter(item=item.value, size=size).select_related("group").first():
        if new:
            raise errors.LineExists(line=there)
        return there
    line = StockLine(group=group, item=item.value, size=size, note=note)
    line.full_clean()
    line.save()
    record(group=group, actor=actor, at=now, deed="stock line added", subject=line, item=item.value, size=size)
    return line


def ask_size(item: Item, size: str) -> None:
    """Refuse a size that nobody makes. Raises SizeUnfit or SizeNeedless."""
    if size_fits(item, size):
        return
    sizes = sizes_of(item)
    if sizes == ("",):
        raise errors.SizeNeedless(item=gettext(item.value))
    raise errors.SizeUnfit(item=gettext(item.value), sizes=", ".join(sizes))


@transaction.atomic
def record_movement(
    *,
    line: StockLine,
    kind: Kind,
    number: int,
    source: Place | None = None,
    labels: bool = False,
    note: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Record why counted pieces of a line move. ``number`` is how many; of a recount it is how many are in stock.

    ``source`` says of which pieces, where the kind leaves a choice; else those in stock. ``labels``: pieces that were
    received become sets with codes. No count falls below 0: the group is locked while it is judged. The same
    ``submission`` again returns the first entry. Raises NothingMoves, NotSoMany, CountAgrees, TooMany, SentAlready.
    """
    group = lock_group(line.group)
    said = {
        "line": line.pk,
        "kind": kind.value,
        "number": number,
        "source": source.value if source else "",
        "labels": labels,
        "note": note,
    }
    if first := recorded(group, submission, said):
        return first
    if kind is Kind.RECEIVED:
        return _receive(line, number, labels=labels, actor=actor, now=now, said=said, submission=submission, note=note)
    move = _recount(line, number) if kind is Kind.RECOUNTED else _plain(line, kind, number, source)
    return write(group=group, moves=[move], actor=actor, now=now, said=said, submission=submission, note=note)


@transaction.atomic
def give_labels(
    *,
    line: StockLine,
    number: int,
    shelf: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Sequence[GearSet]:
    """Make so many counted pieces in stock sets with codes of their own. The sum stays as it was.

    The same ``submission`` again returns the first sets. Raises NothingMoves, NotSoMany or SentAlready.
    """
    group = lock_group(line.group)
    said = {"line": line.pk, "number": number, "shelf": shelf}
    if first := recorded(group, submission, said):
        return list(GearSet.objects.filter(movements__entry=first).for_page())
    if number < 1:
        raise errors.NothingMoves
    if (there := counted_in_stock(line)) < number:  # asked before so many rows are made
        raise errors.NotSoMany(line=line, on_hand=there, place=Place.SHELF.label, number=number)
    sets = new_sets(line, number, shelf=shelf)
    moves = [
        Move(line=line, kind=Kind.LABELLED, source=Place.SHELF, number=number),
        *(Move(line=line, kind=Kind.LABELLED, source=Place.OUTSIDE, gear_set=each) for each in sets),
    ]
    write(group=group, moves=moves, actor=actor, now=now, said=said, submission=submission)
    return sets


def new_sets(line: StockLine, number: int, *, shelf: str = "", loan: Loan | None = None) -> list[GearSet]:
    """Rows for so many sets, with the group's next numbers; the group is locked."""
    last = GearSet.objects.of_group(line.group).aggregate(last=Max("number"))["last"] or 0
    made = [
        GearSet(group=line.group, line=line, number=last + count, shelf=shelf, loan=loan)
        for count in range(1, number + 1)
    ]
    return GearSet.objects.bulk_create(made)


# --- Private ---------------------------------------------------------------------------------------------------------


def _receive(
    line: StockLine,
    number: int,
    *,
    labels: bool,
    actor: Account,
    now: datetime.datetime,
    said: Mapping[str, object],
    submission: uuid.UUID | None,
    note: str = "",
) -> Entry:
    if labels and number > LABELS_AT_ONCE:
        raise errors.TooMany(after=number, most=LABELS_AT_ONCE)
    if number < 1:
        raise errors.NothingMoves
    moves = (
        [Move(line=line, kind=Kind.RECEIVED, source=Place.OUTSIDE, gear_set=each) for each in new_sets(line, number)]
        if labels
        else [Move(line=line, kind=Kind.RECEIVED, source=Place.OUTSIDE, number=number)]
    )
    return write(group=line.group, moves=moves, actor=actor, now=now, said=said, submission=submission, note=note)


def _plain(line: StockLine, kind: Kind, number: int, source: Place | None) -> Move:
    """The move of a kind that leads from one place only, or from the place that was named, else from the stock."""
    sources = MOVES[kind]
    if source is None or source not in sources:
        source = next(iter(sources)) if len(sources) == 1 else Place.SHELF
    return Move(line=line, kind=kind, source=source, number=number)


def _recount(line: StockLine, number: int) -> Move:
    """A recount is of the pieces without a label: sets are known one by one."""
    if number < 0:
        raise errors.NothingMoves
    there = counted_in_stock(line)
    if number == there:
        raise errors.CountAgrees(on_hand=there)
    source = Place.OUTSIDE if number > there else Place.SHELF
    return Move(line=line, kind=Kind.RECOUNTED, source=source, number=abs(number - there))
