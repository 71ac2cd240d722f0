"""Finds each free person of a solved model a partner by name."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from ortools.sat.python import cp_model

from reedcrew.trade.pairing.effort import Effort
from reedcrew.trade.pairing.model import DayModel, tie
from reedcrew.trade.pairing.placement import Placement

EFFORT = 5.0  # the most that one zone's pairs may take


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """The free people of a zone cannot all be given partners; ``people`` have a tie or are kept apart there."""

    people: frozenset[str]


def match(
    built: DayModel, zone: str, people: Sequence[str], unseasoned: int, effort: Effort
) -> tuple[Placement, ...] | Conflict:
    """Pairs of a zone's free people, all of them, with at most ``unseasoned`` pairs in which nobody is seasoned.

    Answers Conflict if there are no such pairs, or none were found with the effort. That there are none can only be for
    ties and people kept apart, because the solved model counted units by kinds of people.
    """
    if not people:
        return ()
    model = cp_model.CpModel()
    pairs = {
        (one, other): model.new_bool_var("")
        for one, other in combinations(sorted(people), 2)
        if built.may_be_free_partners(one, other)
    }
    at: Mapping[str, list[cp_model.IntVar]] = {one: [] for one in people}
    for (one, other), var in pairs.items():
        at[one].append(var)
        at[other].append(var)
    for choices in at.values():
        model.add_exactly_one(choices)
    plain = [
        var
        for (one, other), var in pairs.items()
        if not built.people[one].seasoned and not built.people[other].seasoned
    ]
    model.add(cp_model.LinearExpr.sum(plain) <= unseasoned)
    solver, status = effort.solve(model, EFFORT)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Conflict(people=_at_odds(built, people))
    return tuple(Placement(zone=zone, members=pair) for pair, var in pairs.items() if solver.value(var))


def match_most(built: DayModel, zone: str, people: Sequence[str]) -> tuple[Placement, ...]:
    """Pairs of a zone's free people, each with the first who may be theirs: unseasoned people choose among seasoned.

    Who is left over gets no partner.
    """
    waiting = sorted(people, key=lambda one: (built.people[one].seasoned, one))
    found = []
    while waiting:
        one = waiting.pop(0)
        partner = next((other for other in reversed(waiting) if built.may_be_free_partners(one, other)), None)
        if partner is not None:
            waiting.remove(partner)
            found.append(Placement(zone=zone, members=tie(one, partner)))
    return tuple(found)


def _at_odds(built: DayModel, people: Sequence[str]) -> frozenset[str]:
    """People who could be partners here by their kinds, but not by name."""
    found: set[str] = set()
    for one, other in combinations(people, 2):
        kinds = built.kind(built.people[one]), built.kind(built.people[other])
        if kinds[0].may_join(kinds[1]) and not built.may_be_free_partners(one, other):
            found |= {one, other}
    return frozenset(found)
