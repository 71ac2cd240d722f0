"""What people were told of a plan, which planning again changes as little as it can.

A person of the roster *was told* something who stands in one of ``units`` or ``roles``; whoever was told that there is
nothing for them, or was not there, was told nothing. In a new plan their assignment is unchanged

- after a unit: if they are in a unit of the same zone with exactly those of their told partners who are on the roster
  today (so two of a unit of three go on unchanged without the third, and who is left alone is changed in any plan);
- after a role: if they have the same role at the same zone. A spotter's zone must hold units, a spade crew's must be
  open dry land with room, and where no zone is worked there is no role.

Everybody else who was told something is *changed*.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from reedcrew.trade.plan import Plan, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldUnit:
    """A unit as its members know it."""

    zone: str
    members: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldRole:
    """A role on shore as its holder knows it."""

    volunteer: str
    role: Role
    zone: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """All units and roles that people know of. Nobody stands twice. Who is not on the roster today is passed over."""

    units: tuple[ToldUnit, ...] = ()
    roles: tuple[ToldRole, ...] = ()


def told_of(plan: Plan) -> Told:
    """What the people of a plan are told when it is published."""
    return Told(
        units=tuple(ToldUnit(zone=unit.zone, members=unit.members) for unit in plan.units),
        roles=tuple(ToldRole(volunteer=duty.volunteer, role=duty.role, zone=duty.zone) for duty in plan.shore),
    )


def changed_people(told: Told, plan: Plan) -> tuple[str, ...]:
    """Ids of the people of a plan whose assignment is not what they were told, sorted."""
    return tuple(sorted(person for person, place in _places(told, plan).items() if place != _now(plan).get(person)))


# --- Private ---------------------------------------------------------------------------------------------------------

Place = tuple[str, frozenset[str]] | tuple[Role, str | None]


def _places(told: Told, plan: Plan) -> Mapping[str, Place]:
    """Where each person who is here today was told to be, with the partners who are here."""
    here = {member for unit in plan.units for member in unit.members}
    here |= {duty.volunteer for duty in plan.shore} | {left.volunteer for left in plan.not_placed}
    places: dict[str, Place] = {}
    for unit in told.units:
        members = frozenset(unit.members) & here
        places.update(dict.fromkeys(sorted(members), (unit.zone, members)))
    places.update({role.volunteer: (role.role, role.zone) for role in told.roles if role.volunteer in here})
    return places


def _now(plan: Plan) -> Mapping[str, Place]:
    places: dict[str, Place] = {
        member: (unit.zone, frozenset(unit.members)) for unit in plan.units for member in unit.members
    }
    places.update({duty.volunteer: (duty.role, duty.zone) for duty in plan.shore})
    return places
