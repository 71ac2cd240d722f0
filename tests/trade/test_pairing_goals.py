"""The five goals as functions of finished units, worked by hand."""

from dataclasses import dataclass, replace

import pytest

from reedcrew.trade.pairing import goals
from tests.trade.pairing_days import day, wader, zone


@dataclass(frozen=True)
class Placed:
    """Units as a search of its own might hold them."""

    zone: str
    members: tuple[str, ...]


def test_people_in_water_counts_members():
    assert goals.people_in_water([]) == 0
    assert goals.people_in_water([Placed("reach", ("a", "b")), Placed("reach", ("c", "d", "e"))]) == 5


def test_wishes_count_each_direction_within_a_unit():
    a = wader("a", wishes=frozenset({"b", "c"}))
    b = wader("b", wishes=frozenset({"a"}))
    c, d = wader("c", wishes=frozenset({"nobody"})), wader("d")
    of_day = day(a, b, c, d)
    assert goals.wishes_honoured(of_day, [Placed("reach", ("a", "b")), Placed("reach", ("c", "d"))]) == 2
    assert goals.wishes_honoured(of_day, [Placed("reach", ("a", "c")), Placed("reach", ("b", "d"))]) == 1
    assert goals.wishes_honoured(of_day, [Placed("reach", ("a", "b", "c"))]) == 3
    assert goals.wishes_honoured(of_day, [Placed("reach", ("b", "c"))]) == 0


def test_a_unit_is_unseasoned_if_nobody_has_three_earlier_days():
    of_day = day(*(wader(name, water_days=days) for name, days in zip("abcd", (2, 2, 3, 0), strict=True)))
    assert goals.unseasoned_units(of_day, [Placed("reach", ("a", "b")), Placed("reach", ("c", "d"))]) == 1
    assert goals.unseasoned_units(of_day, [Placed("reach", ("a", "c")), Placed("reach", ("b", "d"))]) == 1
    assert goals.unseasoned_units(of_day, [Placed("reach", ("b", "d"))]) == 1
    easier = replace(of_day, policy=replace(of_day.policy, seasoned_water_days=2))
    assert goals.unseasoned_units(easier, [Placed("reach", ("b", "d"))]) == 0


def test_a_repeated_pair_counts_once_whoever_recorded_it():
    a, b = wader("a", recent=frozenset({"b"})), wader("b", recent=frozenset({"a"}))
    of_day = day(a, b, wader("c", recent=frozenset({"a"})))
    assert goals.repeated_pairs(of_day, [Placed("reach", ("a", "b"))]) == 1
    assert goals.repeated_pairs(of_day, [Placed("reach", ("a", "c"))]) == 1
    assert goals.repeated_pairs(of_day, [Placed("reach", ("b", "c"))]) == 0
    assert goals.repeated_pairs(of_day, [Placed("reach", ("a", "b", "c"))]) == 2


def test_stature_costs_of_six_people_and_three_equal_depths():
    # Spans of levels: thirds. Six people of different stature: sixths, so two fit each level.
    zones = (zone(60, 1, "deep"), zone(20, 1, "edge"), zone(40, 1, "middle"))
    people = [wader(f"p{number}", stature_cm=160 + number) for number in range(6)]
    costs = goals.stature_costs(day(*people, zones=zones))
    table = [[costs[one.id, name] for name in ("edge", "middle", "deep")] for one in people]
    assert table == [[0, 1, 2], [0, 1, 2], [1, 0, 1], [1, 0, 1], [2, 1, 0], [2, 1, 0]]


def test_stature_costs_follow_the_zones_shares_and_forgive_equal_stature():
    # Places 3 to 1: the edge's span is 0 to 3/4. Statures 160, 170, 170, 180: spans 0 to 1/4, 1/4 to 3/4, 3/4 to 1.
    # The two zones of 20 cm are one level.
    zones = (zone(60, 1, "deep"), zone(20, 2, "edge"), zone(20, 1, "ledge"))
    statures = {"a": 160, "b": 170, "c": 170, "d": 180}
    of_day = day(*(wader(name, stature_cm=stature) for name, stature in statures.items()), zones=zones)
    costs = goals.stature_costs(of_day)
    assert [costs[name, "edge"] for name in "abcd"] == [0, 0, 0, 1]
    assert [costs[name, "ledge"] for name in "abcd"] == [0, 0, 0, 1]
    assert [costs[name, "deep"] for name in "abcd"] == [1, 1, 1, 0]
    # Places 1 to 1: the three of 170 have the span 1/5 to 4/5, which overlaps both halves.
    of_day = replace(of_day, zones=(zone(60, 1, "deep"), zone(20, 1, "edge")))
    of_day = replace(of_day, volunteers=(*of_day.volunteers, wader("e", stature_cm=170)))
    costs = goals.stature_costs(of_day)
    assert [costs[name, "edge"] for name in "abcde"] == [0, 0, 0, 1, 0]
    assert [costs[name, "deep"] for name in "abcde"] == [1, 0, 0, 0, 0]


def test_stature_costs_leave_closed_and_dry_zones_and_people_ashore_out():
    zones = (zone(60, 1, "deep"), zone(40, 0, "full"), zone(20, 1, "edge"), zone(0, 3, "land"))
    people = (wader("a", stature_cm=160), wader("b", stature_cm=180), wader("c", water_ready=False))
    costs = goals.stature_costs(day(*people, zones=zones))
    assert costs == {("a", "edge"): 0, ("a", "deep"): 1, ("b", "edge"): 1, ("b", "deep"): 0}


def test_mismatch_is_the_sum_and_objective_has_all_goals_in_order():
    zones = (zone(60, 1, "deep"), zone(20, 1, "edge"))
    people = [wader(name, stature_cm=stature) for name, stature in zip("abcd", (160, 165, 180, 185), strict=True)]
    people[0] = replace(people[0], wishes=frozenset({"b"}), recent=frozenset({"b"}), water_days=3)
    of_day = day(*people, zones=zones)
    sorted_by_stature = [Placed("edge", ("a", "b")), Placed("deep", ("c", "d"))]
    assert goals.objective(of_day, sorted_by_stature) == (4, 1, 1, 1, 0)
    upside_down = [Placed("deep", ("a", "b")), Placed("edge", ("c", "d"))]
    assert goals.objective(of_day, upside_down) == (4, 1, 1, 1, 4)
    assert goals.stature_mismatch(of_day, [Placed("edge", ("b", "c"))]) == 1


@pytest.mark.parametrize("units", [[], [Placed("reach", ("a", "b"))]])
def test_goals_of_a_day_without_zones_or_people(units):
    of_day = day(wader("a"), wader("b"))
    assert goals.objective(of_day, units)[0] == 2 * len(units)
