"""What the search of a day's model makes as large or as small as can be, one after another."""

from dataclasses import dataclass

from ortools.sat.python import cp_model

from reedcrew.trade.pairing import eligibility, goals
from reedcrew.trade.pairing.model import DayModel, Expr, total
from reedcrew.trade.pairing.posts import Post
from reedcrew.trade.plan import PAIR, TRIO, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One thing to make as large or as small as can be. ``limit`` is a value that plainly no plan can better."""

    value: Expr
    maximise: bool
    limit: int
    is_bounded: bool = True  # or the tie-break after the goals, which nobody asks a proof of


def least_change(built: DayModel) -> Aim:
    """The fewest people whose assignment is not what they were told (trade.told).

    It comes before the five goals: what people were told on Thursday is worth more on Saturday at eight than a better
    plan, and whoever was told nothing, or whose assignment cannot be kept, is still placed by the goals.
    """
    most = 0
    kept: list[Expr] = []
    for unit in built.told_units:
        members = built.keeps_unit(unit)
        if not members:
            continue
        most += len(unit.members)
        kept_unit = built.model.new_bool_var("")
        for var in members:
            built.model.add(kept_unit <= var)
        kept.extend([kept_unit] * len(unit.members))
    told = [person for person in built.keeps if person in built.posts.told]
    roles = () if built.day.told is None else built.day.told.roles
    everybody = sum(len(unit.members) for unit in built.told_units)
    everybody += sum(
        role.volunteer in built.people
        and built.posts.pinned.get(role.volunteer) != Post(role=role.role, zone=role.zone)
        for role in roles
    )
    value = everybody - total([*kept, *(built.keeps[person] for person in told)])
    return Aim(value=value, maximise=False, limit=everybody - most - len(told))


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
    return (*found, Aim(value=_first_aider_ashore(built), maximise=True, limit=1, is_bounded=False))


# --- Private ---------------------------------------------------------------------------------------------------------


def _people(built: DayModel) -> Expr:
    return PAIR * total(built.units.values()) + total(built.trio_in.values())


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
        built.model.add(both <= total(some))
        built.model.add(both <= total(others))
        built.model.add(both >= total(some) + total(others) - 1)
        wishes.extend([both] * goals.wishes_between(built.people[one].person, built.people[other].person))
        if goals.is_repeat(built.people[one].person, built.people[other].person):
            repeats.append(both)
    return total(wishes), total(repeats)


def _unseasoned(built: DayModel) -> Expr:
    units = [
        var
        for (one, other, _), var in built.tied.items()
        if not built.people[one].seasoned and not built.people[other].seasoned
    ]
    units += [var for (k, m, _), var in built.cells.items() if not k.seasoned and not m.seasoned]
    seasoned = [var for (one, _), var in built.trio.items() if built.people[one].seasoned]
    unseasoned_trio = built.model.new_bool_var("")
    built.model.add(unseasoned_trio >= total(built.trio_in.values()) - total(seasoned))
    return total([*units, unseasoned_trio])


def _mismatch(built: DayModel) -> Expr:
    costs = goals.stature_costs(built.day)
    drawn = [(var, costs[key]) for key, variables in built.present.items() for var in variables]
    return cp_model.LinearExpr.weighted_sum([var for var, _ in drawn], [cost for _, cost in drawn])


def _first_aider_ashore(built: DayModel) -> Expr:
    helpers = eligibility.first_aiders(built.day)
    ashore = built.model.new_bool_var("")
    built.model.add(ashore <= len(helpers) - total(var for one in helpers for var in built.in_water(one)))
    keeping = [var for person, var in built.keeps.items() if built.post_of(person).role is Role.SPOTTER]
    built.model.add(ashore + total([*built.spotters.values(), *keeping]) <= built.adults_ashore())
    return total([ashore])
