"""Roles on shore that are fixed before the search: by an organizer's pin, or to keep what people were told."""

from collections.abc import Mapping
from dataclasses import dataclass

from reedcrew.trade.day import Day
from reedcrew.trade.pairing.eligibility import Candidate, first_aiders
from reedcrew.trade.pairing.zones import open_land, open_water
from reedcrew.trade.pins import HAS_ZONE, PinKind
from reedcrew.trade.plan import Role
from reedcrew.trade.reasons import Reason, reason

UNIT = 2  # people of a unit; a spade crew holds as many twos as its zone takes units


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A role on shore and its zone, if it has one. A pinned spade crew without a zone may be in any dry one."""

    role: Role
    zone: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Posts:
    """``pinned`` must hold and ``told`` may be kept, by person; ``no_roles`` and ``no_zones`` are pinned against."""

    pinned: Mapping[str, Post]
    contradicted: frozenset[str]  # people of whom pins say two things at once
    told: Mapping[str, Post]
    no_roles: Mapping[str, frozenset[Role]]
    no_zones: Mapping[str, frozenset[str]]

    def may_take(self, person: str, role: Role, zone: str | None = None) -> bool:
        """Whether no pin speaks against this role there."""
        return role not in self.no_roles.get(person, ()) and (zone is None or zone not in self.no_zones.get(person, ()))


def posts_of(day: Day, people: Mapping[str, Candidate]) -> Posts:
    """The posts of a day. What was told counts only where nothing pinned or of the day itself speaks against it."""
    no_roles: dict[str, frozenset[Role]] = {}
    no_zones: dict[str, frozenset[str]] = {}
    pinned: dict[str, Post] = {}
    contradicted: set[str] = set()
    for pin in day.pins:
        if pin.kind is PinKind.NOT_ROLE and pin.role is not None:
            no_roles[pin.person] = no_roles.get(pin.person, frozenset()) | {pin.role}
        elif pin.kind is PinKind.NOT_ZONE and pin.zone is not None:
            no_zones[pin.person] = no_zones.get(pin.person, frozenset()) | {pin.zone}
        elif pin.kind is PinKind.ROLE and pin.role is not None:
            before = pinned.get(pin.person, Post(role=pin.role))
            if before.role is not pin.role or (None not in {before.zone, pin.zone} and before.zone != pin.zone):
                contradicted.add(pin.person)
            pinned[pin.person] = Post(role=pin.role, zone=pin.zone or before.zone)
    against = Posts(pinned={}, contradicted=frozenset(), told={}, no_roles=no_roles, no_zones=no_zones)
    contradicted.update(name for name, post in pinned.items() if not against.may_take(name, post.role, post.zone))
    told: dict[str, Post] = {}
    for role in () if day.told is None else day.told.roles:
        one, post = people.get(role.volunteer), Post(role=role.role, zone=role.zone)
        if one is None or one.id in pinned or not against.may_take(one.id, post.role, post.zone):
            continue
        if post_refusal(day, one, post) is None and (post.zone is not None) == (post.role in HAS_ZONE):
            told[one.id] = post
    return Posts(pinned=pinned, contradicted=frozenset(contradicted), told=told, no_roles=no_roles, no_zones=no_zones)


def post_refusal(day: Day, one: Candidate, post: Post) -> Reason | None:
    """Why a person cannot hold a post today, whatever the rest of the plan; None if they can.

    People under 18 only haul, beside a guardian of the roster; a first-aider is one whom H10 counts; a spotter watches
    an open zone with water (H10), and a spade crew stands on open dry land.
    """
    if not one.person.adult and (post.role is not Role.HAULER or one.guardian is None):
        return reason("H3.pin_role", who=one.id)
    if post.role is Role.FIRST_AIDER and one.id not in first_aiders(day):
        return reason("H10.pin_first_aider", who=one.id)
    if post.role is Role.SPOTTER:
        if not first_aiders(day):
            return reason("H10.no_first_aider")
        if post.zone not in {zone.name for zone in open_water(day)}:
            return reason("H9.pin_zone", zone=post.zone or "")
    if post.role is Role.SPADE_CREW:
        land = {zone.name for zone in open_land(day)}
        if any(zone.name == post.zone and zone.depth_cm > 0 for zone in day.zones):
            return reason("H1.pin_spade", zone=post.zone or "")
        if not land or (post.zone is not None and post.zone not in land):
            return reason("pins.no_land", zone=post.zone or "")
    return None


def spade_places(day: Day) -> Mapping[str, int]:
    """How many people each open dry zone takes: as many twos as it takes units, the zone with the most stems first."""
    return {zone.name: UNIT * zone.units_max for zone in open_land(day)}


def is_land_worked(day: Day) -> bool:
    """Whether there is work on shore even without a unit: open dry land, and an adult for it."""
    return bool(open_land(day)) and any(person.adult for person in day.volunteers)
