"""The hard rules that depend on the whole plan, as a CP-SAT model of one day.

A variable for every two people in every zone would be simple, but its bounds are too weak to prove anything for sixty
people. Most people have no *tie* with each other: no wish, no recent pairing, not guardian and ward. To people without
a tie, only a partner's *kind* matters: languages, experience, seasoned or not. The model therefore holds

- ``tied[a, b, zone]``: a and b, who have a tie, are a unit there;
- ``free[a, zone]``: a is there in a unit with somebody without a tie;
- ``cells[k, m, zone]``: how many units there join a free person of kind k and one of kind m;
- ``trio[a, zone]``: a is in the plan's one unit of three, there.

Every plan that keeps the rules is a solution with the same values of all goals, so its bounds hold. The other way
round, pairing.partners must find free people partners with whom they have no tie and from whom they are not kept apart.
Where that fails, the people at fault become kinds of their own (``alone``), for whom the model is exact, and the
day is solved again: see pairing.solve.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

from ortools.sat.python import cp_model

from reedcrew.trade.day import Day
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing import eligibility, goals, sets
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.zones import open_water

PAIR, TRIO = 2, 3

Var = cp_model.IntVar
Expr = cp_model.LinearExprT


@dataclass(frozen=True, slots=True, order=True)
class Kind:
    """What of a person matters to a partner without a tie. ``alone`` is an id where one person is a kind."""

    languages: tuple[str, ...]
    experienced: bool
    seasoned: bool
    alone: str

    def may_join(self, other: "Kind") -> bool:
        """Whether two adults of these kinds may be a unit, as far as H2 and H11 go."""
        return (self.experienced or other.experienced) and not set(self.languages).isdisjoint(other.languages)


def tie(one: str, other: str) -> tuple[str, str]:
    """Two people in the order in which pairs are keyed."""
    return (one, other) if one < other else (other, one)


def ties(candidates: Sequence[Candidate]) -> frozenset[tuple[str, str]]:
    """Every two people with a wish, a recent pairing or guardianship between them."""
    ids = {one.id for one in candidates}
    return frozenset(
        tie(one.id, other)
        for one in candidates
        for other in (*one.person.wishes, *one.person.recent, *(() if one.guardian is None else (one.guardian,)))
        if other in ids and other != one.id
    )


class DayModel:
    """Variables and hard rules of one day. Made from sorted people and zones, so the same day makes the same model."""

    def __init__(self, day: Day, candidates: Sequence[Candidate], alone: frozenset[str] = frozenset()) -> None:
        self.day = day
        self.candidates = tuple(candidates)
        self.people = {one.id: one for one in candidates}
        self.depths = {zone.name: zone.depth_cm for zone in open_water(day)}
        self.room = {zone.name: zone.units_max for zone in open_water(day)}
        self.ties = ties(candidates)
        self.alone = alone
        self.model = cp_model.CpModel()
        self.present: dict[tuple[str, str], list[Var]] = defaultdict(list)
        self.tied: dict[tuple[str, str, str], Var] = {}
        self.free: dict[tuple[str, str], Var] = {}
        self.cells: dict[tuple[Kind, Kind, str], Var] = {}
        self.trio: dict[tuple[str, str], Var] = {}
        self.trio_in = {zone: self.model.new_bool_var("") for zone in self.depths}
        self.units = {zone: self.model.new_int_var(0, room, "") for zone, room in self.room.items()}
        self.spotters = {zone: self.model.new_int_var(0, room, "") for zone, room in self.room.items()}
        self._add_tied_units()
        self._add_free_units()
        self._add_trio()
        self._count_units()
        self._one_place_each()
        self._share_sets()
        self._leave_spotters()
        self._round_down_odd_groups()

    def kind(self, one: Candidate) -> Kind:
        """The kind of a person."""
        return Kind(
            languages=tuple(sorted(one.person.languages)),
            experienced=one.experienced,
            seasoned=one.seasoned,
            alone=one.id if one.id in self.alone else "",
        )

    def in_water(self, person: str) -> list[Var]:
        """The variables of which one is 1 if the person is in any unit."""
        return [var for zone in self.depths for var in self.present.get((person, zone), ())]

    def in_trio(self, person: str) -> list[Var]:
        """The variables of which one is 1 if the person is in the unit of three."""
        return [self.trio[person, zone] for zone in self.people[person].zones if (person, zone) in self.trio]

    def adults_ashore(self) -> Expr:
        """How many adults are in no unit."""
        adults = [one.id for one in self.candidates if one.person.adult]
        return len(adults) - _sum(var for person in adults for var in self.in_water(person))

    # --- Private: variables ------------------------------------------------------------------------------------------

    def _add_tied_units(self) -> None:
        for one, other in sorted(self.ties):
            if not eligibility.may_share_unit(self.people[one], self.people[other]):
                continue
            for zone in self.people[one].zones:
                if zone in self.people[other].zones:
                    var = self.model.new_bool_var("")
                    self.tied[one, other, zone] = var
                    self.present[one, zone].append(var)
                    self.present[other, zone].append(var)

    def _add_free_units(self) -> None:
        """Adults in units with somebody without a tie. A person under 18 has a tie with the only possible partner."""
        members: dict[tuple[Kind, str], list[str]] = defaultdict(list)
        for one in self.candidates:
            if one.person.adult:
                for zone in one.zones:
                    var = self.model.new_bool_var("")
                    self.free[one.id, zone] = var
                    self.present[one.id, zone].append(var)
                    members[self.kind(one), zone].append(one.id)
        joined: dict[tuple[Kind, str], list[Var]] = defaultdict(list)
        for first, second in combinations_with_replacement(sorted({kind for kind, _ in members}), 2):
            if not first.may_join(second):
                continue
            for zone in self.depths:
                some, others = members.get((first, zone), []), members.get((second, zone), [])
                most = len(some) // 2 if first == second else min(len(some), len(others))
                if most == 0 or not self._any_partners(some, others):
                    continue
                var = self.model.new_int_var(0, min(most, self.room[zone]), "")
                self.cells[first, second, zone] = var
                joined[first, zone].append(var)
                joined[second, zone].append(var)
                for kind, crowd in ((first, others), (second, some)):
                    if kind.alone:
                        fitting = [other for other in crowd if self.may_be_free_partners(kind.alone, other)]
                        self.model.add(var <= _sum(self.free[other, zone] for other in fitting))
        for (kind, zone), ids in members.items():
            # A cell of one kind stands in its list twice: such a unit holds two of them.
            self.model.add(_sum(self.free[one, zone] for one in ids) == _sum(joined[kind, zone]))

    def may_be_free_partners(self, one: str, other: str) -> bool:
        """Whether two people may be a unit and have no tie."""
        return tie(one, other) not in self.ties and eligibility.may_share_unit(self.people[one], self.people[other])

    def _any_partners(self, some: Sequence[str], others: Sequence[str]) -> bool:
        # Only where a kind is one person can the answer be no: others are not asked one by one.
        if len(some) > 1 and len(others) > 1:
            return True
        return any(one != other and self.may_be_free_partners(one, other) for one in some for other in others)

    def _add_trio(self) -> None:
        """H1's unit of three. It is at most one, and only ever adds a person: see pairing.solve."""
        for one in self.candidates:
            for zone in one.zones:
                var = self.model.new_bool_var("")
                self.trio[one.id, zone] = var
                self.present[one.id, zone].append(var)
        self.model.add_at_most_one(self.trio_in.values())
        for zone, here in self.trio_in.items():
            members = [one for one in self.candidates if (one.id, zone) in self.trio]
            self.model.add(_sum(self.trio[one.id, zone] for one in members) == TRIO * here)
            self.model.add(_sum(self.trio[one.id, zone] for one in members if one.experienced) >= here)  # H2
            for one in members:
                if one.guardian is not None:  # H3
                    self.model.add_implication(self.trio[one.id, zone], self.trio[one.guardian, zone])
        spoken = sorted({language for one in self.candidates for language in one.person.languages})
        chosen = {language: self.model.new_bool_var("") for language in spoken}
        self.model.add_at_most_one(chosen.values())
        for one in self.candidates:
            if one.zones:  # H11: one language that all three speak
                languages = [chosen[language] for language in sorted(one.person.languages)]
                self.model.add(_sum(self.in_trio(one.id)) <= _sum(languages))
            for other in sorted(one.person.apart & self.people.keys()):  # H8
                if other != one.id:
                    self.model.add(_sum(self.in_trio(one.id)) + _sum(self.in_trio(other)) <= 1)

    # --- Private: hard rules -----------------------------------------------------------------------------------------

    def _count_units(self) -> None:
        """H9: the number of units of a zone is a variable that cannot exceed its room."""
        by_zone: dict[str, list[Var]] = defaultdict(list)
        for key, var in (*self.tied.items(), *self.cells.items()):
            by_zone[key[2]].append(var)
        for zone, units in self.units.items():
            self.model.add(_sum(by_zone[zone]) + self.trio_in[zone] == units)

    def _one_place_each(self) -> None:
        for one in self.candidates:
            if one.zones:
                self.model.add_at_most_one(self.in_water(one.id))

    def _share_sets(self) -> None:
        """H5: no more people in water work than there are sets that fit them."""
        deep = [zone for zone, depth_cm in self.depths.items() if is_water_work(depth_cm)]
        for limit in sets.limits(self.day, self.candidates):
            drawn = [var for one in limit.people for zone in deep for var in self.present.get((one, zone), ())]
            self.model.add(_sum(drawn) <= limit.sets)

    def _leave_spotters(self) -> None:
        """H10: adults in no unit for each started group of units of each zone."""
        for zone, units in self.units.items():
            self.model.add(self.day.policy.units_per_spotter * self.spotters[zone] >= units)
        self.model.add(_sum(self.spotters.values()) <= self.adults_ashore())

    def _round_down_odd_groups(self) -> None:
        """Not a rule, but a consequence that speeds proofs up: n people make at most half of n pairs, rounded down.

        Said of everyone who speaks only the same language, and of every two or three people with ties.
        """
        for languages in sorted({tuple(sorted(one.person.languages)) for one in self.candidates}):
            if len(languages) != 1:
                continue
            group = {one.id for one in self.candidates if tuple(one.person.languages) == languages and one.zones}
            pairs = [var for (one, other, _), var in self.tied.items() if one in group and other in group]
            pairs += [var for (k, m, _), var in self.cells.items() if k.languages == m.languages == languages]
            self.model.add(_sum(pairs) <= len(group) // PAIR)
        joined: dict[str, set[str]] = defaultdict(set)
        for one, other, _ in self.tied:
            joined[one].add(other)
        for one in sorted(joined):
            for other in sorted(joined[one]):
                for third in sorted(joined[one] & joined[other]):
                    pairs_of_three = ((one, other), (one, third), (other, third))
                    self.model.add_at_most_one(
                        self.tied[a, b, zone]
                        for a, b in pairs_of_three
                        for zone in self.depths
                        if (a, b, zone) in self.tied
                    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One thing to make as large or as small as can be. ``limit`` is a value that plainly no plan can better."""

    value: Expr
    maximise: bool
    limit: int
    is_goal: bool = True  # or the tie-break after the goals


def aims(built: DayModel) -> tuple[Aim, ...]:
    """The design's five goals in order, as expressions with the values of pairing.goals, then the tie-break.

    Tie-break: an adult first-aider who is on shore and not needed as a spotter.
    """
    wishes, repeats = _tie_values(built)
    people = PAIR * sum(built.room.values()) + (TRIO - PAIR)
    wished = sum(
        goals.wishes_between(built.people[one].person, built.people[other].person) for one, other in built.ties
    )
    values = (_people(built), wishes, _unseasoned(built), repeats, _mismatch(built))
    found = [
        Aim(value=value, maximise=up, limit=limit)
        for value, up, limit in zip(values, goals.MAXIMISED, (people, wished, 0, 0, 0), strict=True)
    ]
    return (*found, Aim(value=_first_aider_ashore(built), maximise=True, limit=1, is_goal=False))


# --- Private ---------------------------------------------------------------------------------------------------------


def _people(built: DayModel) -> Expr:
    return PAIR * _sum(built.units.values()) + _sum(built.trio_in.values())


def _tie_values(built: DayModel) -> tuple[Expr, Expr]:
    """Wishes honoured and pairs repeated, in units of two and in the unit of three."""
    wishes: list[Expr] = []
    repeats: list[Expr] = []
    for (one, other, _), var in built.tied.items():
        wishes.extend([var] * goals.wishes_between(built.people[one].person, built.people[other].person))
        if goals.is_repeat(built.people[one].person, built.people[other].person):
            repeats.append(var)
    for one, other in sorted(built.ties):
        some, others = built.in_trio(one), built.in_trio(other)
        if not some or not others:
            continue
        both = built.model.new_bool_var("")
        built.model.add(both <= _sum(some))
        built.model.add(both <= _sum(others))
        built.model.add(both >= _sum(some) + _sum(others) - 1)
        wishes.extend([both] * goals.wishes_between(built.people[one].person, built.people[other].person))
        if goals.is_repeat(built.people[one].person, built.people[other].person):
            repeats.append(both)
    return _sum(wishes), _sum(repeats)


def _unseasoned(built: DayModel) -> Expr:
    units = [
        var
        for (one, other, _), var in built.tied.items()
        if not built.people[one].seasoned and not built.people[other].seasoned
    ]
    units += [var for (k, m, _), var in built.cells.items() if not k.seasoned and not m.seasoned]
    seasoned = [var for (one, _), var in built.trio.items() if built.people[one].seasoned]
    unseasoned_trio = built.model.new_bool_var("")
    built.model.add(unseasoned_trio >= _sum(built.trio_in.values()) - _sum(seasoned))
    return _sum([*units, unseasoned_trio])


def _mismatch(built: DayModel) -> Expr:
    costs = goals.stature_costs(built.day)
    drawn = [(var, costs[key]) for key, variables in built.present.items() for var in variables]
    return cp_model.LinearExpr.weighted_sum([var for var, _ in drawn], [cost for _, cost in drawn])


def _first_aider_ashore(built: DayModel) -> Expr:
    helpers = eligibility.first_aiders(built.day)
    ashore = built.model.new_bool_var("")
    built.model.add(ashore <= len(helpers) - _sum(var for one in helpers for var in built.in_water(one)))
    built.model.add(ashore + _sum(built.spotters.values()) <= built.adults_ashore())
    return _sum([ashore])


def _sum(values: Iterable[Expr]) -> cp_model.LinearExpr:
    return cp_model.LinearExpr.sum(list(values))
