"""Everything that changes the stock."""

import datetime
import uuid

from django.db import transaction
from django.utils.translation import gettext

from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stock.errors import CountAgrees, LineExists, NothingMoves, NotSoMany, SizeNeedless, SizeUnfit, TooMany
from reedcrew.stock.models import Movement, StockLine
from reedcrew.stock.queries import on_hand
from reedcrew.stock.signals import stock_changed
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import size_fits, sizes_of

COUNT_MAX = 100_000  # what an entry can mean (convention)


@transaction.atomic
def add_line(
    *,
    group: Group,
    item: Item,
    size: str = "",
    number: int,
    note: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> StockLine:
    """Add a kind and size of gear to a group's stock, with the number that is there now as its first movement.

    The same ``submission`` again returns the first line. Raises SizeUnfit or SizeNeedless for a size that the item does
    not come in, LineExists, NothingMoves for a number under 1 and TooMany.
    """
    lock_group(group)
    lines = StockLine.objects.of_group(group).filter(item=item.value)
    if submission and (first := lines.filter(movements__submission=submission).first()):
        return first
    _refuse_size(item, size)
    if lines.filter(size=size).exists():
        raise LineExists(line=StockLine(item=item.value, size=size))
    line = StockLine(group=group, item=item.value, size=size, note=note)
    line.full_clean()
    line.save()
    record(group=group, actor=actor, at=now, deed="stock line added", subject=line, item=item.value, size=size)
    record_movement(line=line, kind=Movement.Kind.RECEIVED, number=number, actor=actor, now=now, submission=submission)
    return line


def _refuse_size(item: Item, size: str) -> None:
    if size_fits(item, size):
        return
    sizes = sizes_of(item)
    if sizes == ("",):
        raise SizeNeedless(item=gettext(item.value))
    raise SizeUnfit(item=gettext(item.value), sizes=", ".join(sizes))


@transaction.atomic
def record_movement(
    *,
    line: StockLine,
    kind: Movement.Kind,
    number: int,
    note: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Movement:
    """Record why a line's count changes. ``number`` is how many came or went; of a recount it is how many are there.

    The count never falls below 0: the line is locked while it is judged. The same ``submission`` again returns the
    first movement. Raises NothingMoves, NotSoMany, CountAgrees and TooMany.
    """
    row = StockLine.objects.select_for_update().get(pk=line.pk)
    if submission and (first := row.movements.filter(submission=submission).first()):
        return first
    change = _change(kind, number, on_hand(row))
    movement = Movement(
        line=row, kind=kind, change=change, note=note, made_by=actor, made_at=now, submission=submission
    )
    movement.full_clean()
    movement.save()
    record(group=line.group, actor=actor, at=now, deed="stock moved", subject=row, kind=kind.value, change=change)
    stock_changed.send(StockLine, group=line.group, now=now)
    return movement


def _change(kind: Movement.Kind, number: int, there: int) -> int:
    """What the movement adds to the count."""
    if number < (0 if kind is Movement.Kind.RECOUNTED else 1):
        raise NothingMoves
    match kind:
        case Movement.Kind.RECEIVED:
            change = number
        case Movement.Kind.RECOUNTED:
            change = number - there
        case Movement.Kind.LOST | Movement.Kind.RETIRED:
            change = -number
    if change == 0:
        raise CountAgrees(on_hand=there)
    if there + change < 0:
        raise NotSoMany(on_hand=there, number=number)
    if there + change > COUNT_MAX:
        raise TooMany(after=there + change, most=COUNT_MAX)
    return change
