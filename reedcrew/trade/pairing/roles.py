"""Who does what on shore: spotters, first-aider, sign-in desk, haulers and the spade crew of dry land.

People under 18 only ever haul, and only while their guardian is on the roster. A shallow zone has water, so it is
worked by units and never by the spade crew.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from reedcrew.trade.day import Day, Volunteer
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.placement import Placement
from reedcrew.trade.pairing.posts import Post, Posts, posts_of, spade_places
from reedcrew.trade.pairing.zones import open_land
from reedcrew.trade.plan import Role
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

UNITS_PER_HAULER = 2  # (cp) one sled or platform for two water units (design, gear list), and one person to pull it


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One person's role on shore, and the reason for the role itself."""

    person: Candidate
    role: Role
    zone: str | None
    reason: Reason


def spotters_for(units: int, policy: Policy) -> int:
    """H10: how many watch so many units of one zone, one for each started ``policy.units_per_spotter``."""
    return -(-units // policy.units_per_spotter)


def spotters_needed(day: Day, units: Iterable[Placement]) -> dict[str, int]:
    """Spotters for each zone that holds units. By zone name."""
    count: dict[str, int] = {}
    for unit in units:
        count[unit.zone] = count.get(unit.zone, 0) + 1
    return {zone: spotters_for(count[zone], day.policy) for zone in sorted(count)}


def duties(
    day: Day, units: Sequence[Placement], ashore: Sequence[Candidate], kept: Mapping[str, Post] | None = None
) -> tuple[Duty, ...]:
    """Roles for those in no unit, in this order; who is left over gets none.

    1. the roles that are ``kept`` because they are pinned or told;
    2. spotters, zone by zone in the order of names: no first-aider if another can be had, then who shares a language
       with most people of the zone, then most water days;
    3. one first-aider: who keeps most others free to cut comes first, that is people not ready for water;
    4. one adult at the sign-in desk: people not ready for water first;
    5. a hauler for each started two units: people under 18 first;
    6. the spade crew: as many twos of adults as each open dry zone takes units, the zone with the most stems first;
    7. everyone else hauls.

    Without units, posts 3 and 4 are filled only while an adult is left to cut. Nobody gets what an organizer pinned
    against. Ties go by id. Where no zone is worked, there is no role at all.
    """
    people = {one.id: one for one in ashore}
    adults = [one for one in ashore if one.person.adult]
    minors = [one for one in ashore if not one.person.adult and one.guardian is not None]
    if not units and not (open_land(day) and adults):
        return ()
    posts = posts_of(day, people)
    found = list(_kept(day, units, people, kept or {}))
    found.extend(list(_spotters(day, units, _left(adults, found), found, posts)))
    helpers = [one for one in adults if one.id in eligibility.first_aiders(day)]
    for role, code, fit in (
        (Role.FIRST_AIDER, "role.first_aider", helpers),
        (Role.SIGN_IN_DESK, "role.sign_in", adults),
    ):
        fitting = [one for one in _left(fit, found) if posts.may_take(one.id, role)]
        free = sorted(fitting, key=lambda one: (one.person.water_ready, one.id))
        if any(duty.role is role for duty in found):
            continue
        if free and (units or len(_left(adults, found)) > 1):
            found.append(Duty(person=free[0], role=role, zone=None, reason=reason(code, who=free[0].id)))

    def haulers(crowd: Iterable[Candidate]) -> list[Candidate]:
        return [one for one in _left(crowd, found) if posts.may_take(one.id, Role.HAULER)]

    found.extend([_hauler(one) for one in haulers(minors)])
    wanted = max(0, -(-len(units) // UNITS_PER_HAULER) - sum(duty.role is Role.HAULER for duty in found))
    found.extend([_hauler(one) for one in haulers(adults)[:wanted]])
    found.extend(list(_spade_crew(day, _left(adults, found), found, posts)))
    found.extend([_hauler(one) for one in haulers(adults)])
    return tuple(found)


# --- Private ---------------------------------------------------------------------------------------------------------


def _left(people: Iterable[Candidate], found: Iterable[Duty]) -> list[Candidate]:
    busy = {duty.person.id for duty in found}
    return [one for one in people if one.id not in busy]


def _kept(
    day: Day, units: Sequence[Placement], people: Mapping[str, Candidate], kept: Mapping[str, Post]
) -> Iterator[Duty]:
    """Roles that are kept. A spotter whose zone holds no unit after all is free for something else."""
    worked = {unit.zone for unit in units}
    for name, post in sorted(kept.items()):
        one, zone = people[name], post.zone
        if post.role is Role.SPOTTER and zone in worked and zone is not None:
            yield _spotter(day, one, zone, units)
        elif post.role is Role.SPADE_CREW and zone is not None:
            yield _cutter(one, zone)
        elif post.role is Role.HAULER:
            yield _hauler(one)
        elif post.role in (Role.FIRST_AIDER, Role.SIGN_IN_DESK):
            code = "role.first_aider" if post.role is Role.FIRST_AIDER else "role.sign_in"
            yield Duty(person=one, role=post.role, zone=None, reason=reason(code, who=name))


def _spotters(
    day: Day, units: Sequence[Placement], adults: Sequence[Candidate], found: Sequence[Duty], posts: Posts
) -> Iterator[Duty]:
    helpers = eligibility.first_aiders(day)
    people = {person.id: person for person in day.volunteers}
    free = list(adults)
    needed = spotters_needed(day, units)
    for duty in found:
        if duty.role is Role.SPOTTER and duty.zone in needed:
            needed[duty.zone] = max(0, needed[duty.zone] - 1)
    for zone in needed:
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
        for one in queue:
            if needed[zone] == 0:
                break
            if not posts.may_take(one.id, Role.SPOTTER, zone):
                continue
            rest = [other for other in free if other.id != one.id]
            if not _suffice(rest, needed | {zone: needed[zone] - 1}, posts):
                continue
            needed[zone] -= 1
            free = rest
            yield _spotter(day, one, zone, units)


def _suffice(adults: Sequence[Candidate], needed: Mapping[str, int], posts: Posts) -> bool:
    """Whether these adults can fill the zones' posts, with what is pinned against: by augmenting paths."""
    if not posts.no_roles and not posts.no_zones:
        return True
    seats = [zone for zone, count in needed.items() for _ in range(count)]
    holder: dict[int, int] = {}

    def seated(seat: int, tried: set[int]) -> bool:
        for number, one in enumerate(adults):
            if number not in tried and posts.may_take(one.id, Role.SPOTTER, seats[seat]):
                tried.add(number)
                if number not in holder or seated(holder[number], tried):
                    holder[number] = seat
                    return True
        return False

    return all(seated(seat, set()) for seat in range(len(seats)))


def _spotter(day: Day, one: Candidate, zone: str, units: Sequence[Placement]) -> Duty:
    because = reason(
        "H10.spotter",
        who=one.id,
        zone=zone,
        every=day.policy.units_per_spotter,
        units=sum(unit.zone == zone for unit in units),
    )
    return Duty(person=one, role=Role.SPOTTER, zone=zone, reason=because)


def _understood_by(one: Candidate, watched: Iterable[Volunteer]) -> int:
    """How many of the people whom a spotter watches would understand a warning."""
    return sum(bool(one.person.languages & person.languages) for person in watched)


def _hauler(one: Candidate) -> Duty:
    if one.guardian is None:
        because = reason("role.hauler", who=one.id)
    else:
        because = reason("role.hauler_minor", who=one.id, other=one.guardian)
    return Duty(person=one, role=Role.HAULER, zone=None, reason=because)


def _cutter(one: Candidate, zone: str) -> Duty:
    because = reason("role.spade_crew", who=one.id, zone=zone)
    return Duty(person=one, role=Role.SPADE_CREW, zone=zone, reason=because)


def _spade_crew(day: Day, adults: Sequence[Candidate], found: Sequence[Duty], posts: Posts) -> Iterator[Duty]:
    queue = list(adults)
    for zone, places in spade_places(day).items():
        free = places - sum(duty.role is Role.SPADE_CREW and duty.zone == zone for duty in found)
        crew = [one for one in queue if posts.may_take(one.id, Role.SPADE_CREW, zone)][: max(0, free)]
        yield from (_cutter(one, zone) for one in crew)
        queue = [one for one in queue if one not in crew]
