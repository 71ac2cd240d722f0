"""The exhaustive search against days whose best plan can be seen by hand."""

from tests.trade.independent.by_hand import bare_day, person, stock_line, zone
from tests.trade.independent.exhaustive import best_plan, most_equipped
from tests.trade.independent.limits import Json
from tests.trade.independent.values import stature_levels_off

GUS = person("gus", water_ready=False, first_aider=True)
SHALLOW = zone("shallow", 20)
DEEP = zone("deep", 60)


def shallow_day(*people: Json, **changes: object) -> Json:
    """These people in one shallow zone, with gus on the shore."""
    return bare_day([SHALLOW | changes], [*people, GUS], [])


def names(day: Json) -> set[frozenset[str]]:
    """The units of the best plan."""
    return {frozenset(member["id"] for member in unit.members) for unit in best_plan(day).units}


def test_nobody_goes_in_without_people() -> None:
    assert best_plan(bare_day([SHALLOW], [], [])).values[:4] == (0, 0, 0, 0)


def test_one_person_stays_out() -> None:
    assert best_plan(shallow_day(person("a"))).values[0] == 0


def test_all_plans_of_three_are_tried() -> None:
    best = best_plan(shallow_day(person("a"), person("b"), person("c")))
    assert best.legal_plans == 5, "nobody, three pairs, one unit of three"
    assert best.values[:4] == (3, 0, 0, 0)


def test_four_go_in_as_two_pairs_where_there_is_room_and_as_three_where_not() -> None:
    four = [person(name) for name in "abcd"]
    assert best_plan(shallow_day(*four)).values[0] == 4
    assert best_plan(shallow_day(*four, units_max=1)).values[0] == 3


def test_one_unit_of_three_at_most() -> None:
    assert best_plan(shallow_day(*[person(name) for name in "abcdef"], units_max=2)).values[0] == 5


def test_wishes_come_before_experience_and_repeats() -> None:
    a, b = person("a", wishes=["b"], recent=["b"]), person("b", wishes=["a"])
    c, d = person("c", water_days=1), person("d", water_days=0)
    day = shallow_day(a, b, c, d)
    assert best_plan(day).values[:4] == (4, 2, 1, 1)
    assert names(day) == {frozenset("ab"), frozenset("cd")}


def test_experience_comes_before_repeats() -> None:
    a, b = person("a"), person("b")
    c, d = person("c", water_days=1, recent=["a", "b"]), person("d", water_days=0, recent=["a", "b"])
    assert best_plan(shallow_day(a, b, c, d)).values[:4] == (4, 0, 0, 2)


def test_a_repeat_named_by_both_counts_once() -> None:
    assert best_plan(shallow_day(person("a", recent=["b"]), person("b", recent=["a"]))).values[:4] == (2, 0, 0, 1)


def test_the_last_adult_is_kept_for_the_shore() -> None:
    a, b, c = (person(name, first_aider=True) for name in "abc")
    assert best_plan(bare_day([SHALLOW], [a, b, c], [])).values[0] == 2


def test_waders_decide_who_goes_in() -> None:
    a, b, c = person("a", boot_eu=42), person("b", boot_eu=42.5), person("c", boot_eu=43, own=["chest waders"])
    jackets = stock_line("life jacket", "adult", 3)
    one_set = bare_day([DEEP], [a, b, c, GUS], [stock_line("chest waders", "43", 1), jackets])
    two_sets = bare_day(
        [DEEP], [a, b, c, GUS], [stock_line("chest waders", "42", 1), stock_line("chest waders", "43", 1), jackets]
    )
    assert best_plan(one_set).values[0] == 2
    assert best_plan(two_sets).values[0] == 3


def test_life_jackets_decide_who_goes_in() -> None:
    three = [person(name, own=["chest waders"]) for name in "abc"]
    assert best_plan(bare_day([DEEP], [*three, GUS], [stock_line("life jacket", "adult", 2)])).values[0] == 2
    assert best_plan(bare_day([DEEP], [*three, GUS], [stock_line("life jacket", "youth", 9)])).values[0] == 0


def test_sets_are_given_so_that_the_most_have_one() -> None:
    """The larger boots can only take 44; the smaller could take it too and must not."""
    people = [person("a", boot_eu=43), person("b", boot_eu=44)]
    assert most_equipped(people, {("chest waders", "43"): 1, ("chest waders", "44"): 1}) == 2
    assert most_equipped(people, {("chest waders", "44"): 1}) == 1
    assert most_equipped(people, {("chest waders", "42"): 5}) == 0


def test_the_tall_go_deep() -> None:
    """Half of the places are at each depth, so the two shorter people belong in the shallow zone."""
    own = ["chest waders", "life jacket"]
    people = [
        person(name, stature_cm=stature, own=own) for name, stature in zip("abcd", (160, 190, 170, 180), strict=True)
    ]
    day = bare_day([SHALLOW | {"units_max": 1}, DEEP | {"units_max": 1}], [*people, GUS, GUS | {"id": "hal"}], [])
    best = best_plan(day)
    assert best.values == (4, 0, 0, 0, 0)
    assert {(unit.zone, *(member["id"] for member in unit.members)) for unit in best.units} == {
        ("shallow", "a", "c"),
        ("deep", "b", "d"),
    }


def test_stature_gives_way_to_every_other_goal() -> None:
    own = ["chest waders", "life jacket"]
    a, b = person("a", stature_cm=160, wishes=["d"], own=own), person("b", stature_cm=190, own=own)
    c, d = person("c", stature_cm=170, own=own), person("d", stature_cm=180, own=own)
    day = bare_day([SHALLOW | {"units_max": 1}, DEEP | {"units_max": 1}], [a, b, c, d, GUS, GUS | {"id": "hal"}], [])
    assert best_plan(day).values == (4, 1, 0, 0, 2)


def test_people_of_one_stature_are_at_home_anywhere() -> None:
    own = ["chest waders", "life jacket"]
    people = [person(name, own=own) for name in "abcd"]
    zones = [SHALLOW | {"units_max": 1}, DEEP | {"units_max": 1}]
    off = stature_levels_off(bare_day(zones, people, []))
    assert {levels for person_levels in off.values() for levels in person_levels.values()} == {0}


def test_levels_are_counted_between_the_zone_and_the_place_by_stature() -> None:
    people = [person(name, stature_cm=stature) for name, stature in zip("abc", (160, 170, 180), strict=True)]
    zones = [zone(name, depth, units_max=1) for name, depth in (("deep", 60), ("shallow", 20), ("mid", 40))]
    off = stature_levels_off(bare_day(zones, people, []))
    assert off["a"] == {"shallow": 0, "mid": 1, "deep": 2}
    assert off["b"] == {"shallow": 1, "mid": 0, "deep": 1}
    assert off["c"] == {"shallow": 2, "mid": 1, "deep": 0}
