"""Who does what on shore: spotters, first-aider, sign-in desk, haulers and the spade crew of dry land.

People under 18 only ever haul, and only while their guardian is on the roster. A shallow zone has water, so it is
worked by units and never by the spade crew.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from reedcrew.trade.day import Day, Volunteer
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.model import PAIR
from reedcrew.trade.pairing.partners import Placement
from reedcrew.trade.pairing.zones import open_land
from reedcrew.trade.plan import Role
from reedcrew.trade.reasons import Reason, reason

UNITS_PER_HAULER = 2  # (cp) one sled or platform for two water units (design, gear list), and one person to pull it


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One person's role on shore, and the reason for the role itself."""

    person: Candidate
    role: Role
    zone: str | None
    reason: Reason


def spotters_needed(day: Day, units: Iterable[Placement]) -> dict[str, int]:
    """H10: spotters for each zone that holds units, one for each started ``policy.units_per_spotter``. By zone name."""
    count: dict[str, int] = {}
    for unit in units:
        count[unit.zone] = count.get(unit.zone, 0) + 1
    return {zone: -(-count[zone] // day.policy.units_per_spotter) for zone in sorted(count)}


def duties(day: Day, units: Sequence[Placement], ashore: Sequence[Candidate]) -> tuple[Duty, ...]:
    """Roles for those in no unit, in this order; who is left over gets none.

    1. spotters, zone by zone in the order of names: no first-aider if another can be had, then who shares a language
       with most people of the zone, then most water days;
    2. one first-aider: who keeps most others free to cut comes first, that is people not ready for water;
    3. one adult at the sign-in desk: people not ready for water first;
    4. a hauler for each started two units: people under 18 first;
    5. the spade crew: as many twos of adults as each open dry zone takes units, the zone with the most stems first;
    6. everyone else hauls.

    Without units, posts 2 and 3 are filled only while an adult is left to cut.
    Ties go by id. Where no zone is worked, there is no role at all.
    """
    adults = [one for one in ashore if one.person.adult]
    minors = [one for one in ashore if not one.person.adult and one.guardian is not None]
    if not units and not (open_land(day) and adults):
        return ()
    found = [*_spotters(day, units, adults)]
    helpers = [one for one in adults if one.id in eligibility.first_aiders(day)]
    for role, code, fit in (
        (Role.FIRST_AIDER, "role.first_aider", helpers),
        (Role.SIGN_IN_DESK, "role.sign_in", adults),
    ):
        free = sorted(_left(fit, found), key=lambda one: (one.person.water_ready, one.id))
        if free and (units or len(_left(adults, found)) > 1):
            found.append(Duty(person=free[0], role=role, zone=None, reason=reason(code, who=free[0].id)))
    found.extend(_hauler(one) for one in minors)
    wanted = max(0, -(-len(units) // UNITS_PER_HAULER) - len(minors))
    found.extend(_hauler(one) for one in _left(adults, found)[:wanted])
    found.extend(_spade_crew(day, _left(adults, found)))
    found.extend(_hauler(one) for one in _left(adults, found))
    return tuple(found)


# --- Private ---------------------------------------------------------------------------------------------------------


def _left(people: Iterable[Candidate], found: Iterable[Duty]) -> list[Candidate]:
    busy = {duty.person.id for duty in found}
    return [one for one in people if one.id not in busy]


def _spotters(day: Day, units: Sequence[Placement], adults: Sequence[Candidate]) -> Iterator[Duty]:
    helpers = eligibility.first_aiders(day)
    people = {person.id: person for person in day.volunteers}
    free = list(adults)
    for zone, needed in spotters_needed(day, units).items():
        watched = [people[member] for unit in units if unit.zone == zone for member in unit.members]
        queue = sorted(
            free,
            key=lambda one: (
                one.id in helpers,
                -_understood_by(one, watched),
                -one.person.water_days,
                one.id,
            ),
        )
        for one in queue[:needed]:
            because = reason(
                "H10.spotter",
                who=one.id,
                zone=zone,
                every=day.policy.units_per_spotter,
                units=sum(unit.zone == zone for unit in units),
            )
            yield Duty(person=one, role=Role.SPOTTER, zone=zone, reason=because)
        free = queue[needed:]


def _understood_by(one: Candidate, watched: Iterable[Volunteer]) -> int:
    """How many of the people whom a spotter watches would understand a warning."""
    return sum(bool(one.person.languages & person.languages) for person in watched)


def _hauler(one: Candidate) -> Duty:
    if one.guardian is None:
        because = reason("role.hauler", who=one.id)
    else:
        because = reason("role.hauler_minor", who=one.id, other=one.guardian)
    return Duty(person=one, role=Role.HAULER, zone=None, reason=because)


def _spade_crew(day: Day, adults: Sequence[Candidate]) -> Iterator[Duty]:
    queue = list(adults)
    for zone in open_land(day):
        places = PAIR * zone.units_max
        for one in queue[:places]:
            yield Duty(
                person=one,
                role=Role.SPADE_CREW,
                zone=zone.name,
                reason=reason("role.spade_crew", who=one.id, zone=zone.name),
            )
        queue = queue[places:]
