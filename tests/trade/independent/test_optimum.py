"""The planner's optimum against other ways to the same number: every plan tried, a matching, an assignment."""

from functools import cache
from itertools import combinations
from random import Random

import networkx as nx
import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_bipartite_matching

from tests.trade.independent.by_hand import bare_day, person, stock_line, zone
from tests.trade.independent.checker import broken_rules
from tests.trade.independent.entrance import planned
from tests.trade.independent.exhaustive import best_plan
from tests.trade.independent.generate import small_day
from tests.trade.independent.limits import Json, waders_fit
from tests.trade.independent.values import goal_values, units_of

SMALL_DAYS = range(120)


@cache
def best_of(seed: int) -> tuple[int, ...]:
    """The values of the best plan of a small day, searched once."""
    return best_plan(small_day(seed)).values


@pytest.mark.parametrize("seed", SMALL_DAYS)
def test_a_small_day_is_planned_as_well_as_the_best_of_all_its_plans(seed: int) -> None:
    day = small_day(seed)
    plan = planned(day)
    assert broken_rules(day, plan) == []
    best = best_of(seed)
    assert goal_values(day, units_of(day, plan)) == best
    assert tuple(plan["objective"]) == best
    assert plan["status"] in ("optimal", "no_water_work")


def test_the_small_days_are_worth_the_search() -> None:
    """Enough of them put people in water, need the unit of three, and leave a value to each goal."""
    values = [best_of(seed) for seed in SMALL_DAYS]
    assert sum(value[0] > 0 for value in values) > len(values) / 2
    assert sum(value[0] % 2 for value in values) > len(values) / 10
    for goal in range(1, 5):
        assert sum(value[goal] > 0 for value in values) > len(values) / 10


def watchers(count: int) -> list[Json]:
    """Adults for the shore who do not go in."""
    return [person(f"watch{number}", water_ready=False, first_aider=True) for number in range(count)]


def pairable_day(people: list[Json]) -> Json:
    """One roomy shallow zone and more than enough spotters: only who may work with whom decides."""
    return bare_day([zone("shallow", 20, units_max=len(people))], [*people, *watchers(len(people))], [])


def day_of_languages(graph: nx.Graph) -> Json:
    """Each edge is a language that its two people alone speak, so no three share one."""
    spoken: dict[str, list[str]] = {name: [] for name in graph}
    for number, (one, other) in enumerate(graph.edges):
        spoken[one].append(f"l{number}")
        spoken[other].append(f"l{number}")
    return pairable_day([person(name, languages=languages) for name, languages in spoken.items()])


def day_of_apart(graph: nx.Graph, rng: Random) -> Json:
    """Whoever is not joined by an edge asked to be kept apart, one of the two at random."""
    apart: dict[str, list[str]] = {name: [] for name in graph}
    for one, other in nx.complement(graph).edges:
        asking, asked = rng.sample([one, other], 2)
        apart[asking].append(asked)
    return pairable_day([person(name, apart=names) for name, names in apart.items()])


def random_graph(rng: Random, most: int) -> nx.Graph:
    graph = nx.gnp_random_graph(rng.randint(2, most), rng.choice([0.1, 0.2, 0.35]), seed=rng.randrange(10**6))
    return nx.relabel_nodes(graph, {number: f"p{number:02d}" for number in graph})


def most_in_pairs(graph: nx.Graph) -> int:
    """Twice the largest matching, by the blossom algorithm of networkx."""
    return 2 * len(nx.max_weight_matching(graph, maxcardinality=True))


def most_with_a_trio(graph: nx.Graph) -> int:
    """The most people in pairs and one triangle of the graph; 0 where it has no triangle."""
    triangles = [
        trio for trio in combinations(graph, 3) if all(graph.has_edge(*pair) for pair in combinations(trio, 2))
    ]
    rests = [graph.subgraph(set(graph) - set(trio)) for trio in triangles]
    return max((3 + most_in_pairs(rest) for rest in rests), default=0)


@pytest.mark.parametrize("seed", range(12))
def test_where_no_three_share_a_language_the_plan_is_a_largest_matching(seed: int) -> None:
    graph = random_graph(Random(seed), 24)
    assert planned(day_of_languages(graph))["objective"][0] == most_in_pairs(graph)


@pytest.mark.parametrize("seed", range(20))
def test_asks_to_be_kept_apart_leave_a_largest_matching_or_one_trio_more(seed: int) -> None:
    rng = Random(seed)
    graph = random_graph(rng, 12)
    plan = planned(day_of_apart(graph, rng))
    pairs, trio = most_in_pairs(graph), most_with_a_trio(graph)
    assert plan["objective"][0] == max(pairs, trio)
    assert any(len(unit["members"]) == 3 for unit in plan["units"]) is (trio > pairs)


def test_both_kinds_of_graph_occur_among_those_with_asks_to_be_kept_apart() -> None:
    graphs = [random_graph(Random(seed), 12) for seed in range(20)]
    helped = sum(most_with_a_trio(graph) > most_in_pairs(graph) for graph in graphs)
    assert 3 <= helped <= 17


@pytest.mark.parametrize("seed", range(15))
def test_where_only_waders_are_short_as_many_go_in_as_can_be_equipped(seed: int) -> None:
    rng = Random(seed)
    people = [
        person(f"p{number:02d}", boot_eu=rng.choice([39, 40, 40.5, 41, 42, 43.5]))
        for number in range(rng.randint(4, 18))
    ]
    sets = [str(rng.randint(39, 45)) for _ in range(rng.randint(2, 14))]
    lines = [stock_line("chest waders", label, sets.count(label)) for label in sorted(set(sets))]
    jackets = stock_line("life jacket", "adult", len(people))
    day = bare_day([zone("deep", 60, units_max=9)], [*people, *watchers(len(people))], [*lines, jackets])
    fits = np.array([[waders_fit(one, label) for label in sets] for one in people], dtype=int)
    equipped = int((maximum_bipartite_matching(csr_matrix(fits), perm_type="column") >= 0).sum())
    rows, columns = linear_sum_assignment(fits, maximize=True)
    assert fits[rows, columns].sum() == equipped, "the two references agree"
    assert planned(day)["objective"][0] == (equipped if equipped > 1 else 0)
