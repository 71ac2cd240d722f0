"""The hard rules that depend on the whole plan, as a CP-SAT model of one day.

A variable for every two people in every zone would be simple, but its bounds are too weak to prove anything for sixty
people. Most people have no *tie* with each other: no wish, no recent pairing, not guardian and ward. To people without
a tie, only a partner's *kind* matters: languages, experience, seasoned or not. The model therefore holds

- ``tied[a, b, zone]``: a and b, who have a tie, are a unit there;
- ``free[a, zone]``: a is there in a unit with somebody without a tie;
- ``cells[k, m, zone]``: how many units there join a free person of kind k and one of kind m;
- ``trio[a, zone]``: a is in the plan's one unit of three, there;
- ``keeps[a]``: a is on shore and has the role that is pinned to them, or that they were told (see pairing.posts).

Two people who are pinned to one unit, or were told of one, have a tie too.

Every plan that keeps the rules is a solution with the same values of all goals, so its bounds hold. The other way
round, pairing.partners must find free people partners with whom they have no tie and from whom they are not kept apart.
Where that fails, the people at fault become kinds of their own (``alone``), for whom the model is exact, and the
day is solved again: see pairing.solve.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

from ortools.sat.python import cp_model

from reedcrew.trade.day import Day
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing import eligibility, sets
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.posts import Post, is_land_worked, posts_of, spade_places
from reedcrew.trade.pairing.zones import open_water
from reedcrew.trade.pins import PinKind
from reedcrew.trade.plan import PAIR, TRIO, Role
from reedcrew.trade.told import ToldUnit

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


class _Model(cp_model.CpModel):
    """The library's model without the old names of its methods, which take longer to make than a small day's model."""

    def _add_pre_pep8_methods(self) -> None:
        """None are needed here."""


class DayModel:
    """Variables and hard rules of one day. Made from sorted people and zones, so the same day makes the same model."""

    def __init__(self, day: Day, candidates: Sequence[Candidate], alone: frozenset[str] = frozenset()) -> None:
        self.day = day
        self.candidates = tuple(candidates)
        self.people = {one.id: one for one in candidates}
        self.depths = {zone.name: zone.depth_cm for zone in open_water(day)}
        self.room = {zone.name: zone.units_max for zone in open_water(day)}
        self.told_units = tuple(self._told_units())
        self.pinned_pairs = tuple(
            tie(pin.person, pin.other) for pin in day.pins if pin.kind is PinKind.PAIR and pin.other is not None
        )
        told_pairs = [tie(*unit.members) for unit in self.told_units if len(unit.members) == PAIR]
        self.ties = ties(candidates).union(self.pinned_pairs, told_pairs)
        self.alone = alone
        self.posts = posts_of(day, self.people)
        self.model = _Model()
        self.present: dict[tuple[str, str], list[Var]] = defaultdict(list)
        self.tied: dict[tuple[str, str, str], Var] = {}
        self.free: dict[tuple[str, str], Var] = {}
        self.cells: dict[tuple[Kind, Kind, str], Var] = {}
        self.trio: dict[tuple[str, str], Var] = {}
        self.cuts: dict[tuple[str, str], Var] = {}
        self.trio_in = {zone: self.model.new_bool_var("") for zone in self.depths}
        self.units = {zone: self.model.new_int_var(0, room, "") for zone, room in self.room.items()}
        self.spotters = {zone: self.model.new_int_var(0, room, "") for zone, room in self.room.items()}
        self.keeps = {person: self.model.new_bool_var("") for person in sorted({*self.posts.pinned, *self.posts.told})}
        self._add_tied_units()
        self._add_free_units()
        self._add_trio()
        self._count_units()
        self._one_place_each()
        self._share_sets()
        self._hold_posts()
        self._leave_spotters()
        self._hold_pins()
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
        return len(adults) - total(var for person in adults for var in self.in_water(person))

    def keeps_unit(self, unit: ToldUnit) -> tuple[Expr, ...]:
        """Variables of which all are 1 if those told of this unit who are here are a unit there. Empty: they cannot."""
        if len(unit.members) == PAIR:
            var = self.tied.get((*tie(*unit.members), unit.zone))
            return () if var is None else (var,)
        members = [self.trio[one, unit.zone] for one in unit.members if (one, unit.zone) in self.trio]
        return tuple(members) if len(members) == len(unit.members) == TRIO else ()

    # --- Private: variables ------------------------------------------------------------------------------------------

    def _told_units(self) -> Iterator[ToldUnit]:
        """Units that people were told, of those who are here today."""
        for unit in () if self.day.told is None else self.day.told.units:
            here = tuple(sorted(member for member in unit.members if member in self.people))
            if here:
                yield ToldUnit(zone=unit.zone, members=here)

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
                        self.model.add(var <= total(self.free[other, zone] for other in fitting))
        for (kind, zone), ids in members.items():
            # A cell of one kind stands in its list twice: such a unit holds two of them.
            self.model.add(total(self.free[one, zone] for one in ids) == total(joined[kind, zone]))

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
            self.model.add(total(self.trio[one.id, zone] for one in members) == TRIO * here)
            self.model.add(total(self.trio[one.id, zone] for one in members if one.experienced) >= here)  # H2
            for one in members:
                if one.guardian is not None:  # H3
                    self.model.add_implication(self.trio[one.id, zone], self.trio[one.guardian, zone])
        spoken = sorted({language for one in self.candidates for language in one.person.languages})
        chosen = {language: self.model.new_bool_var("") for language in spoken}
        self.model.add_at_most_one(chosen.values())
        for one in self.candidates:
            if one.zones:  # H11: one language that all three speak
                languages = [chosen[language] for language in sorted(one.person.languages)]
                self.model.add(total(self.in_trio(one.id)) <= total(languages))
            for other in sorted((one.person.apart | one.barred) & self.people.keys()):  # H8
                if other != one.id:
                    self.model.add(total(self.in_trio(one.id)) + total(self.in_trio(other)) <= 1)

    # --- Private: hard rules -----------------------------------------------------------------------------------------

    def _count_units(self) -> None:
        """H9: the number of units of a zone is a variable that cannot exceed its room."""
        by_zone: dict[str, list[Var]] = defaultdict(list)
        for key, var in (*self.tied.items(), *self.cells.items()):
            by_zone[key[2]].append(var)
        for zone, units in self.units.items():
            self.model.add(total(by_zone[zone]) + self.trio_in[zone] == units)

    def _one_place_each(self) -> None:
        for one in self.candidates:
            if one.zones:
                self.model.add_at_most_one(self.in_water(one.id))

    def _share_sets(self) -> None:
        """H5: no more people in water work than there are sets that fit them; nobody barefoot in shallow water."""
        for limit in sets.limits(self.day, self.candidates):
            zones = [zone for zone, depth_cm in self.depths.items() if is_water_work(depth_cm) is limit.in_water_work]
            drawn = [var for one in limit.people for zone in zones for var in self.present.get((one, zone), ())]
            self.model.add(total(drawn) <= limit.sets)

    def _hold_posts(self) -> None:
        """Who keeps a post is in no unit, and the post is one that the plan has."""
        land_worked = is_land_worked(self.day)
        for person, keeps in self.keeps.items():
            post = self.post_of(person)
            self.model.add_at_most_one([keeps, *self.in_water(person)])
            if person in self.posts.pinned:
                self.model.add(keeps == 1)
            if person in self.posts.contradicted:
                self.model.add(keeps == 0)
            if post.role is Role.SPOTTER:
                self.model.add(keeps <= total([self.units[zone] for zone in self.units if zone == post.zone]))
            elif not land_worked:
                self.model.add(keeps <= total(self.units.values()))
        self._hold_spade_crew()

    def _hold_spade_crew(self) -> None:
        """No dry zone holds more than its places. Who is pinned to no certain zone takes one that they may."""
        places = spade_places(self.day)
        here: dict[str, list[Var]] = defaultdict(list)
        for person, keeps in self.keeps.items():
            post = self.post_of(person)
            if post.role is not Role.SPADE_CREW:
                continue
            if post.zone is not None:
                here[post.zone].append(keeps)
                continue
            zones = [zone for zone in places if self.posts.may_take(person, post.role, zone)]
            self.cuts.update({(person, zone): self.model.new_bool_var("") for zone in zones})
            self.model.add(total(self.cuts[person, zone] for zone in zones) == keeps)
            for zone in zones:
                here[zone].append(self.cuts[person, zone])
        for zone, most in places.items():
            if len(here[zone]) > most:
                self.model.add(total(here[zone]) <= most)

    def _leave_spotters(self) -> None:
        """H10: adults in no unit for each started group of units of each zone.

        Who keeps another post watches nothing. People who may watch the same zones are counted together, so where
        nothing is pinned against anybody there is one group.
        """
        keeping = {
            zone: [var for person, var in self.keeps.items() if self._watches(person, zone)] for zone in self.units
        }
        for zone, units in self.units.items():
            self.model.add(self.day.policy.units_per_spotter * (self.spotters[zone] + total(keeping[zone])) >= units)
        groups: dict[frozenset[str], list[str]] = defaultdict(list)
        for one in self.candidates:
            if one.person.adult:
                groups[frozenset(zone for zone in self.units if self.may_watch(one.id, zone))].append(one.id)
        sent: dict[str, list[Var]] = defaultdict(list)
        for zones, adults in sorted(groups.items(), key=lambda group: group[1]):
            free = self._free_ashore(adults)
            if len(groups) == 1:
                self.model.add(total(self.spotters.values()) <= free)
                return
            from_here = {zone: self.model.new_int_var(0, len(adults), "") for zone in sorted(zones)}
            self.model.add(total(from_here.values()) <= free)
            for zone, var in from_here.items():
                sent[zone].append(var)
        for zone, spotters in self.spotters.items():
            self.model.add(spotters <= total(sent[zone]))

    def post_of(self, person: str) -> Post:
        """The post that a person keeps if ``keeps`` is 1."""
        return self.posts.pinned.get(person) or self.posts.told[person]

    def may_watch(self, person: str, zone: str) -> bool:
        """Whether no pin keeps a person from being a zone's spotter."""
        return self.posts.may_take(person, Role.SPOTTER, zone)

    def _watches(self, person: str, zone: str) -> bool:
        post = self.post_of(person)
        return post.role is Role.SPOTTER and post.zone == zone

    def _free_ashore(self, adults: Sequence[str]) -> Expr:
        """How many of these are in no unit and keep no post."""
        in_water = total(var for person in adults for var in self.in_water(person))
        return len(adults) - in_water - total(self.keeps[person] for person in adults if person in self.keeps)

    def _hold_pins(self) -> None:
        """Pinned pairs and zones. All other pins are settled by eligibility and by posts."""
        for one, other in self.pinned_pairs:
            alone = [self.tied[one, other, zone] for zone in self.depths if (one, other, zone) in self.tied]
            for zone in self.depths:
                mine, theirs = ([self.trio[key]] if (key := (who, zone)) in self.trio else [] for who in (one, other))
                self.model.add(total(mine) == total(theirs))
            self.model.add(total([*alone, *self.in_trio(one)]) == 1)
        for pin in self.day.pins:
            if pin.kind is PinKind.ZONE:
                self.model.add(total(self.present.get((pin.person, pin.zone or ""), ())) == 1)

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
            self.model.add(total(pairs) <= len(group) // PAIR)
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


def total(values: Iterable[Expr]) -> cp_model.LinearExpr:
    """The sum of any number of expressions, also of none."""
    return cp_model.LinearExpr.sum(list(values))
