import uuid

import pytest

from reedcrew.people.models import AuditEntry
from reedcrew.stock import services
from reedcrew.stock.errors import (
    CountAgrees,
    LineExists,
    NothingMoves,
    NotSoMany,
    SizeNeedless,
    SizeUnfit,
    StockError,
    TooMany,
)
from reedcrew.stock.models import Movement, StockLine
from reedcrew.stock.queries import on_hand
from reedcrew.trade.items import Item
from tests.factories import NOW, make_account, make_group, make_stock

pytestmark = pytest.mark.django_db

Kind = Movement.Kind


def add(group, item, size="", number=4, **values):
    return services.add_line(group=group, item=item, size=size, number=number, actor=make_account(), now=NOW, **values)


def move(line, kind, number, **values):
    return services.record_movement(line=line, kind=kind, number=number, actor=make_account(), now=NOW, **values)


def test_a_new_line_begins_with_what_is_there():
    group = make_group()
    line = add(group, Item.CHEST_WADERS, "43", 4, note="Loft")
    movement = line.movements.get()
    assert (line.group, line.item, line.size, line.note) == (group, "chest waders", "43", "Loft")
    assert (movement.kind, movement.change, movement.made_at) == (Kind.RECEIVED, 4, NOW)
    assert [entry.deed for entry in AuditEntry.objects.order_by("pk")] == ["stock line added", "stock moved"]


@pytest.mark.parametrize(
    ("item", "size", "refusal"),
    [
        (Item.CHEST_WADERS, "", SizeUnfit),
        (Item.CHEST_WADERS, "34", SizeUnfit),
        (Item.LIFE_JACKET, "43", SizeUnfit),
        (Item.GLOVES, "adult", SizeUnfit),
        (Item.SPADE, "9", SizeNeedless),
    ],
)
def test_a_size_that_the_item_has_not_is_refused(item, size, refusal):
    with pytest.raises(refusal) as refused:
        add(make_group(), item, size)
    assert refused.value.field == "size"
    assert item.value in str(refused.value)
    assert not StockLine.objects.exists()


def test_a_line_is_in_the_stock_once():
    group = make_group()
    add(group, Item.SPADE)
    with pytest.raises(LineExists):
        add(group, Item.SPADE)
    add(make_group(), Item.SPADE)
    assert StockLine.objects.count() == 2


def test_a_line_added_twice_by_one_press_is_one_line():
    group, token = make_group(), uuid.uuid4()
    assert add(group, Item.SPADE, submission=token) == add(group, Item.SPADE, submission=token)
    assert Movement.objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "number", "change"),
    [
        (Kind.RECEIVED, 3, 3),
        (Kind.LOST, 3, -3),
        (Kind.RETIRED, 10, -10),
        (Kind.RECOUNTED, 7, -3),
        (Kind.RECOUNTED, 12, 2),
        (Kind.RECOUNTED, 0, -10),
    ],
)
def test_a_movement_changes_the_count_in_its_direction(kind, number, change):
    line = make_stock(make_group(), Item.SPADE, 10)
    assert move(line, kind, number, note="Loft").change == change
    assert on_hand(line) == 10 + change
    assert AuditEntry.objects.get().detail == {"kind": kind.value, "change": change}


@pytest.mark.parametrize("kind", [Kind.LOST, Kind.RETIRED])
def test_the_count_never_falls_below_nothing(kind):
    line = make_stock(make_group(), Item.SPADE, 2)
    with pytest.raises(NotSoMany) as refused:
        move(line, kind, 3)
    assert isinstance(refused.value, StockError)
    assert "Only 2 are there" in str(refused.value)
    assert refused.value.field == "number"
    assert on_hand(line) == 2


@pytest.mark.parametrize(
    ("kind", "number", "refusal"),
    [
        (Kind.RECEIVED, 0, NothingMoves),
        (Kind.LOST, -1, NothingMoves),
        (Kind.RECOUNTED, -1, NothingMoves),
        (Kind.RECOUNTED, 2, CountAgrees),
        (Kind.RECEIVED, services.COUNT_MAX - 1, TooMany),
    ],
)
def test_a_movement_that_moves_nothing_or_too_much_is_refused(kind, number, refusal):
    line = make_stock(make_group(), Item.SPADE, 2)
    with pytest.raises(refusal):
        move(line, kind, number)
    assert on_hand(line) == 2


def test_a_movement_pressed_twice_is_one_movement():
    line, token = make_stock(make_group(), Item.SPADE, 2), uuid.uuid4()
    assert move(line, Kind.RECEIVED, 5, submission=token) == move(line, Kind.RECEIVED, 5, submission=token)
    assert on_hand(line) == 7


def test_the_token_of_another_line_hides_nothing():
    group, token = make_group(), uuid.uuid4()
    for item in (Item.SPADE, Item.SLED):
        move(make_stock(group, item, 2), Kind.RECEIVED, 5, submission=token)
    assert Movement.objects.filter(submission=token).count() == 2
