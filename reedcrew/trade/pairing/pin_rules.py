"""Whether the pins of a day can be kept beside the hard rules, and which rule speaks against them."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from reedcrew.trade.changes import PeopleChange, RoomChange, StockChange
from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.posts import Post, post_refusal
from reedcrew.trade.pairing.solve import has_plan
from reedcrew.trade.pairing.zones import closure, open_water
from reedcrew.trade.pins import IN_WATER, Pin, PinKind, PinRefusal
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.stock_sizes import FOOT_LABELS
from reedcrew.trade.water import wading_limit_cm
from reedcrew.trade.what_if import altered

UNIT_MAX = 3
CONFLICTS_MAX = 5  # sets of pins that are named at once; mending those first is enough to do


def pin_refusals(day: Day) -> tuple[PinRefusal, ...]:
    """Which pins of a day cannot be kept, by the rule that each would break; empty if all of them can.

    Each pin is judged by itself, and then those that pass together, by the solver: of pins that cannot be kept together
    a smallest set is named. Raises UnusableInput for pins without the fields that they need, as ``plan_day`` does.
    """
    eligibility.check(day)
    found = static_refusals(day)
    return (*found, *joint_refusals(day, {place for one in found for place in one.places}))


def static_refusals(day: Day) -> tuple[PinRefusal, ...]:
    """The pins that no plan can keep, for what is known of their people and zones alone."""
    if not day.pins:
        return ()
    people = {one.id: one for one in eligibility.candidates(replace(day, pins=()))}
    zones = {zone.name: zone for zone in day.zones}
    found = []
    for place, pin in enumerate(day.pins):
        because = _why_never(day, pin, people, zones)
        if because is not None:
            found.append(PinRefusal(pins=(pin,), places=(place,), reason=because))
    return tuple(found)


def joint_refusals(day: Day, aside: Collection[int] = ()) -> tuple[PinRefusal, ...]:
    """Smallest sets of pins that no plan can keep together; one pin alone where it asks for too much of the day.

    ``aside`` are places of pins that are refused already. At most CONFLICTS_MAX sets, without a common pin.
    """
    found: list[PinRefusal] = []
    left = [place for place in range(len(day.pins)) if place not in aside]
    while len(found) < CONFLICTS_MAX and left and not _can_keep(day, left):
        places = tuple(sorted(_smallest_conflict(day, [], left)))
        pins = tuple(day.pins[place] for place in places)
        found.append(PinRefusal(pins=pins, places=places, reason=_why_not_together(day, places)))
        left = [place for place in left if place not in places]
    return tuple(found)


def not_found(day: Day) -> tuple[PinRefusal, ...]:
    """The refusal of all pins for a search that ended too early to tell."""
    return (PinRefusal(pins=day.pins, places=tuple(range(len(day.pins))), reason=reason("pins.not_found")),)


# --- Private: one pin ------------------------------------------------------------------------------------------------


def _why_never(day: Day, pin: Pin, people: Mapping[str, Candidate], zones: Mapping[str, Zone]) -> Reason | None:
    one = people[pin.person]
    if pin.kind in IN_WATER and not eligibility.first_aiders(day):
        return reason("H10.no_first_aider")
    if pin.kind is PinKind.PAIR and pin.other is not None:
        return _why_no_pair(one, people[pin.other])
    if pin.kind is PinKind.ZONE and pin.zone is not None:
        return _why_not_there(day, one, zones[pin.zone])
    if pin.kind is PinKind.ROLE and pin.role is not None:
        return post_refusal(day, one, Post(role=pin.role, zone=pin.zone))
    return None


def _why_no_pair(one: Candidate, other: Candidate) -> Reason | None:
    """H2 and H3 are left to the solver, for a third person may help."""
    for person in (one, other):
        if not person.zones:
            return person.refusals[0]
    if eligibility.kept_apart(one, other):
        return reason("H8.pin", who=one.id, other=other.id)
    if not one.person.languages & other.person.languages:
        return reason("H11.pin", who=one.id, other=other.id)
    if not set(one.zones) & set(other.zones):
        return reason("H6.pin_pair", who=one.id, other=other.id)
    return None


def _why_not_there(day: Day, one: Candidate, zone: Zone) -> Reason | None:
    if zone.depth_cm <= 0:
        return reason("pins.dry", zone=zone.name)
    if closed := closure(zone, day.policy):
        return closed[0]
    if not one.zones:
        return one.refusals[0]
    if zone.name in one.zones:
        return None
    # They may enter other zones, so what keeps them out is the depth or the gear of this one.
    limit_cm = 0 if one.person.stature_cm is None else wading_limit_cm(one.person.stature_cm, day.policy)
    if zone.depth_cm > limit_cm:
        return reason("H6.pin", who=one.id, zone=zone.name, depth_cm=zone.depth_cm, limit_cm=limit_cm)
    if not one.person.adult and zone.depth_cm > day.policy.minor_depth_cm_max:
        return reason("H3.pin_depth", who=one.id, zone=zone.name, limit_cm=day.policy.minor_depth_cm_max)
    alone = replace(day, zones=(zone,), pins=())
    refusals = next(each.refusals for each in eligibility.candidates(alone) if each.id == one.id)
    return refusals[0] if refusals else reason("H5.pin", who=one.id, zone=zone.name)


# --- Private: several pins -------------------------------------------------------------------------------------------


def _only(day: Day, places: Collection[int]) -> Day:
    return replace(day, pins=tuple(pin for place, pin in enumerate(day.pins) if place in places), told=None)


def _can_keep(day: Day, places: Collection[int]) -> bool:
    return has_plan(_only(day, places))


def _smallest_conflict(day: Day, fixed: Sequence[int], places: Sequence[int], fixed_grew: bool = False) -> list[int]:
    """A set of these pins that cannot be kept beside the ``fixed`` ones, though any part of it can.

    Halves the pins again and again, so that few of many cost few searches.
    """
    if fixed_grew and not _can_keep(day, fixed):
        return []
    if len(places) == 1:
        return list(places)
    first, second = places[: len(places) // 2], places[len(places) // 2 :]
    of_second = _smallest_conflict(day, [*fixed, *first], second, True)
    of_first = _smallest_conflict(day, [*fixed, *of_second], first, bool(of_second))
    return [*of_first, *of_second]


def _why_not_together(day: Day, places: Sequence[int]) -> Reason:
    """The rule without which these pins could be kept, or else that they cannot."""
    pins = [day.pins[place] for place in places]
    if _largest_group(pins) > UNIT_MAX:
        return reason("H1.pins")
    if any(_contradict(one, other) for one in pins for other in pins):
        return reason("pins.jointly")
    for code, easier in _easier_days(_only(day, places)):
        if has_plan(easier):
            return reason(code)
    return reason("pins.alone" if len(pins) == 1 else "pins.jointly")


def _largest_group(pins: Sequence[Pin]) -> int:
    """How many people pairs of these pins join at most."""
    groups: list[set[str]] = []
    for pin in pins:
        if pin.kind is PinKind.PAIR and pin.other is not None:
            joined = {pin.person, pin.other}.union(*(one for one in groups if one & {pin.person, pin.other}))
            groups = [one for one in groups if not one & joined] + [joined]
    return max(map(len, groups), default=0)


def _contradict(one: Pin, other: Pin) -> bool:
    """Whether two pins of one person say different things whatever the day is like."""
    if {one.kind, other.kind} == {PinKind.PAIR, PinKind.NOT_PAIR}:
        return {one.person, one.other} == {other.person, other.other}
    water = {PinKind.NOT_WATER, PinKind.ROLE}
    people = {one.person} if one.kind is not PinKind.PAIR else {one.person, one.other}
    if one.kind in IN_WATER and other.kind in water:
        return other.person in people
    if one.person == other.person and {one.kind, other.kind} == {PinKind.ROLE, PinKind.NOT_ROLE}:
        return one.role is other.role
    if one.person == other.person and one.kind in (PinKind.ZONE, PinKind.ROLE) and other.kind is PinKind.NOT_ZONE:
        return one.zone == other.zone
    return (
        one.kind is other.kind
        and one.person == other.person
        and one.kind in (PinKind.ZONE, PinKind.ROLE)
        and (one.zone, one.role) != (other.zone, other.role)
    )


def _easier_days(day: Day) -> list[tuple[str, Day]]:
    """The day without one of the rules that depend on the whole plan, by the code to say so."""
    many = len(day.volunteers)
    kinds = [(item, label) for item in (Item.CHEST_WADERS, Item.BOOTS) for label in FOOT_LABELS]
    kinds += [(Item.LIFE_JACKET, jacket.value) for jacket in JacketClass]
    return [
        ("H2.pins", replace(day, volunteers=tuple(_experienced(one) for one in day.volunteers))),
        ("H5.pins", altered(day, *(StockChange(item=item, size=size, count=many) for item, size in kinds))),
        ("H9.pins", altered(day, *(RoomChange(zone=zone.name, units=many) for zone in open_water(day)))),
        ("H10.pins", altered(day, PeopleChange(count=many, water_ready=False))),
        ("H3.pins", replace(day, volunteers=tuple(replace(one, adult=True) for one in day.volunteers))),
    ]


def _experienced(person: Volunteer) -> Volunteer:
    return replace(person, lead=True) if person.adult else person
