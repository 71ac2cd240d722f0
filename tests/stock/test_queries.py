import datetime

import pytest

from reedcrew.stock import services
from reedcrew.stock.models import Kind, Place
from reedcrew.stock.queries import Supply, care_list, counts, counts_by_item, gear_due, ledger, open_loans, trade_stock
from reedcrew.trade import day
from reedcrew.trade.items import Item
from tests.factories import NOW, make_account, make_group, make_member, make_sets, make_stock

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


def test_a_line_counts_pieces_and_sets_by_where_they_are():
    group = make_group()
    line = make_stock(group, Item.CHEST_WADERS, 3, size="43")
    first, _second = make_sets(group, Item.CHEST_WADERS, 2, size="43")
    services.record_movement(line=line, kind=Kind.LOST, number=1, actor=make_account(), now=NOW)
    for kind in (Kind.DAMAGED, Kind.REPAIRED):
        services.move_set(gear_set=first, kind=kind, actor=make_account(), now=NOW)
    (count,) = counts(group)
    assert (count.on_hand, count.to_care, count.out, count.away) == (3, 1, 0, 0)
    assert count.elsewhere == [(str(Place.USED.label), 1), (str(Place.LOST.label), 1)]
    (item,) = counts_by_item(group)
    assert (item.item, item.on_hand) == (Item.CHEST_WADERS, 3)


def test_the_rules_of_the_trade_read_what_is_there_of_this_group_only():
    group = make_group()
    make_stock(group, Item.CHEST_WADERS, 3, size="43")
    make_sets(group, Item.CHEST_WADERS, 1, size="43")
    make_stock(group, Item.SPADE, 0)
    make_stock(make_group(), Item.SLED, 2)
    assert trade_stock(group) == (day.StockLine(item=Item.CHEST_WADERS, size="43", count=4),)


@pytest.mark.parametrize("sizes", [["35"], [str(size) for size in range(35, 51)]])
def test_counts_take_two_queries_however_many_lines(sizes, django_assert_num_queries):
    group = make_group()
    for size in sizes:
        make_stock(group, Item.CHEST_WADERS, 2, size=size)
    with django_assert_num_queries(2):
        assert sum(item.on_hand for item in counts_by_item(group)) == 2 * len(sizes)


def test_the_ledger_says_the_count_after_each_movement_and_who_recorded_it():
    group = make_group()
    account = make_account()
    make_member(group, name="Robin Alder", account=account)
    line = make_stock(group, Item.SPADE, 10)
    services.record_movement(line=line, kind=Kind.LOST, number=3, actor=account, now=NOW)
    rows = ledger(line)
    assert [(row.change, row.after) for row in rows] == [(-3, 7), (10, 10)]
    assert [vars(row.movement)["recorded_by"] for row in rows] == ["Robin Alder", None]


def waiting(group, number):
    """So many sets and pieces that wait to be cleaned."""
    line = make_stock(group, Item.SPADE, number)
    sets = make_sets(group, Item.LIFE_JACKET, number, size="adult")
    for kind in (Kind.DAMAGED, Kind.REPAIRED):
        services.record_movement(line=line, kind=kind, number=number, actor=make_account(), now=NOW)
        for each in sets:
            services.move_set(gear_set=each, kind=kind, actor=make_account(), now=NOW)
    return sets


def test_what_came_back_waits_to_be_cleaned_and_then_to_be_dried():
    group = make_group()
    first, second = waiting(group, 2)
    services.mark(group=group, kind=Kind.CLEANED, sets=[first], actor=make_account(), now=NOW)
    waits = care_list(group)
    assert [each.gear_set for each in waits.sets_to_clean] == [second]
    assert [each.gear_set for each in waits.sets_to_dry] == [first]
    assert [(str(each.line), each.number) for each in waits.counted_to_clean] == [("spade", 2)]
    assert (waits.to_clean, waits.to_dry) == (3, 1)


def test_the_list_of_what_waits_takes_as_many_queries_for_many_pieces(count_queries):
    few, many = make_group(), make_group()
    waiting(few, 1)
    waiting(many, 9)
    assert count_queries(lambda: care_list(few)) == count_queries(lambda: care_list(many))


def borrow(group, days, number=1):
    return services.borrow(
        group=group,
        party="Pond circle",
        due_on=NOW.date() + datetime.timedelta(days=days),
        item=Item.SLED,
        number=number,
        actor=make_account(),
        now=NOW,
    )


def test_a_loan_is_pointed_out_in_the_week_before_it_is_due_and_after():
    group = make_group()
    loan = borrow(group, 8)
    today = NOW.date()
    for days, due in ((0, False), (1, True), (9, True)):
        found = gear_due([group], today + datetime.timedelta(days=days))
        assert [each.loan for line in found for each in line.loans] == ([loan] if due else [])
    (open_loan,) = open_loans([group])
    assert not open_loan.is_overdue(loan.due_on)
    assert open_loan.is_overdue(loan.due_on + datetime.timedelta(days=1))


def test_loans_take_as_many_queries_however_many_there_are(count_queries):
    few, many = make_group(), make_group()
    borrow(few, 3)
    for number in range(1, 9):
        borrow(many, 3, number)
    assert count_queries(lambda: gear_due([few], NOW.date())) == count_queries(lambda: gear_due([many], NOW.date()))


def test_nothing_to_see_to_is_nothing_to_show():
    group = make_group()
    make_stock(group, Item.SPADE, 2)
    assert gear_due([group], NOW.date()) == []
