import pytest

from reedcrew.stock.models import Movement
from reedcrew.stock.queries import Supply, counts, counts_by_item, ledger, trade_stock
from reedcrew.trade import day
from reedcrew.trade.items import Item
from tests.factories import NOW, make_account, make_group, make_member, make_stock

pytestmark = pytest.mark.django_db


def test_counts_stand_in_the_order_of_the_trade_and_of_sizes():
    group = make_group()
    for item, size in (
        (Item.SPADE, ""),
        (Item.GLOVES, "10"),
        (Item.GLOVES, "9"),
        (Item.LIFE_JACKET, "youth"),
        (Item.LIFE_JACKET, "adult"),
        (Item.CHEST_WADERS, "44"),
    ):
        make_stock(group, item, 1, size=size)
    assert [str(count.line) for count in counts(group)] == [
        "chest waders 44",
        "life jacket adult",
        "life jacket youth",
        "gloves 9",
        "gloves 10",
        "spade",
    ]


@pytest.mark.parametrize(("number", "supply"), [(0, Supply.NONE), (1, Supply.FEW), (2, Supply.FEW), (3, Supply.THERE)])
def test_a_count_is_put_in_words(number, supply):
    group = make_group()
    make_stock(group, Item.SPADE, number)
    assert [count.supply for count in counts(group)] == [supply]


def test_the_count_is_the_sum_of_the_movements():
    group = make_group()
    line = make_stock(group, Item.SPADE, 10)
    for change in (-3, 1):
        Movement.objects.create(line=line, kind="recounted", change=change, made_by=make_account(), made_at=NOW)
    (item,) = counts_by_item(group)
    assert (item.item, item.on_hand) == (Item.SPADE, 8)


def test_the_rules_of_the_trade_read_what_is_there_of_this_group_only():
    group = make_group()
    make_stock(group, Item.CHEST_WADERS, 4, size="43")
    make_stock(group, Item.SPADE, 0)
    make_stock(make_group(), Item.SLED, 2)
    assert trade_stock(group) == (day.StockLine(item=Item.CHEST_WADERS, size="43", count=4),)


@pytest.mark.parametrize("sizes", [["35"], [str(size) for size in range(35, 51)]])
def test_counts_take_one_query_however_many_lines(sizes, django_assert_num_queries):
    group = make_group()
    for size in sizes:
        make_stock(group, Item.CHEST_WADERS, 2, size=size)
    with django_assert_num_queries(1):
        assert sum(item.on_hand for item in counts_by_item(group)) == 2 * len(sizes)


def test_the_ledger_says_the_count_after_each_movement_and_who_recorded_it():
    group = make_group()
    account = make_account()
    make_member(group, name="Robin Alder", account=account)
    line = make_stock(group, Item.SPADE, 10)
    Movement.objects.create(line=line, kind="lost", change=-3, made_by=account, made_at=NOW)
    rows = ledger(line)
    assert [(row.movement.change, row.after) for row in rows] == [(-3, 7), (10, 10)]
    assert [vars(row.movement)["recorded_by"] for row in rows] == ["Robin Alder", None]
