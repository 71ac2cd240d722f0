"""A day with something otherwise, and what differs between two plans, by hand."""

from dataclasses import replace
from decimal import Decimal

from reedcrew.trade.changes import PeopleChange, RoomChange, StockChange, WaterChange
from reedcrew.trade.items import Item
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.what_if import altered, compare
from tests.trade.pairing_days import day, sets, wader, zone

A, B = wader("a"), wader("b", stature_cm=181, boot_eu=Decimal(43))


def test_water_rises_where_there_is_water_and_falls_no_lower_than_dry():
    of_day = day(A, zones=(zone(60, name="deep"), zone(20, name="edge"), zone(0, name="land")))
    assert [each.depth_cm for each in altered(of_day, WaterChange(by_cm=20)).zones] == [80, 40, 0]
    assert [each.depth_cm for each in altered(of_day, WaterChange(by_cm=-30)).zones] == [30, 0, 0]
    assert [each.depth_cm for each in altered(of_day, WaterChange(by_cm=5, zone="land")).zones] == [60, 20, 5]


def test_stock_grows_by_a_line_and_shrinks_to_none():
    of_day = day(A, stock=sets({"42": 2, "43": 1}))
    counts = {"42": 0, "43": 0}
    for line in altered(of_day, StockChange(item=Item.CHEST_WADERS, size="42", count=-5)).stock:
        if line.item is Item.CHEST_WADERS:
            counts[line.size] += line.count
    assert counts == {"42": 0, "43": 1}
    more = altered(of_day, StockChange(item=Item.CHEST_WADERS, size="44", count=3)).stock
    assert [(line.size, line.count) for line in more if line.item is Item.CHEST_WADERS] == [
        ("42", 2),
        ("43", 1),
        ("44", 3),
    ]


def test_two_more_people_are_adults_of_typical_size_who_speak_the_common_language():
    of_day = day(A, B, replace(A, id="newcomer-1", languages=frozenset({"fr"})), crew=())
    found = altered(of_day, PeopleChange(count=2)).volunteers[3:]
    assert [one.id for one in found] == ["newcomer-2", "newcomer-3"]
    assert {(one.stature_cm, one.boot_eu) for one in found} == {(175, Decimal(42))}
    assert all(one.adult and one.water_ready and one.languages == {"en"} for one in found)


def test_a_change_of_what_is_not_there_changes_nothing():
    of_day = day(A)
    assert altered(of_day, RoomChange(zone="nowhere"), WaterChange(zone="nowhere", by_cm=9)) == of_day


def test_plans_that_say_the_same_do_not_differ():
    plan = plan_day(day(A, B))
    difference = compare(plan, plan)
    assert (difference.moves, difference.goals, difference.gear, difference.zones) == ((), (), (), ())
    assert difference.reasons == ()


def test_water_20_cm_higher_closes_a_zone_and_everybody_reads_where_they_would_be():
    of_day = day(A, B, zones=zone(85), stock=sets({"42": 1, "43": 1}))
    before, after = plan_day(of_day), plan_day(altered(of_day, WaterChange(by_cm=20)))
    difference = compare(before, after)
    assert [(turn.zone, turn.closed) for turn in difference.zones] == [("reach", True)]
    assert [(goal.place, goal.before, goal.after) for goal in difference.goals] == [(0, 2, 0), (2, 1, 0)]
    assert "a" in {move.person for move in difference.moves}
    texts = [one.text for one in difference.reasons]
    assert "People in water: 2 before, 0 then." in texts
    assert "reach would be closed." in texts
    assert "There would be nothing to do for a." in texts


def test_without_waders_in_42_the_shortage_is_named():
    of_day = day(A, B, wader("c"), stock=sets({"42": 2, "43": 1}))
    before = plan_day(of_day)
    after = plan_day(altered(of_day, StockChange(item=Item.CHEST_WADERS, size="42", count=-2)))
    shortages = {(change.item, change.size): (change.before, change.after) for change in compare(before, after).gear}
    assert shortages[Item.CHEST_WADERS, "42"][0] == 0
    assert shortages[Item.CHEST_WADERS, "42"][1] > 0
