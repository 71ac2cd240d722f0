"""Whether a unit that was put together at the landing may go into a zone: the hard rules that can be judged there.

The plan judges gear too (H5), whole days (H10) and the best use of everybody. A unit of the moment is held to H1 to H4,
H6, H7, H9 and H11, with the depths of now; gear and spotters are the crew lead's to see.
"""

from collections.abc import Mapping, Sequence

from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.pairing.eligibility import is_experienced
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.water import wading_limit_cm

UNIT_SIZES = (2, 3)  # H1


def unit_refusals(day: Day, zone: str, members: Sequence[str], names: Mapping[str, str]) -> tuple[Reason, ...]:
    """Why these people may not be in a zone together; empty when they may. ``names`` are what sentences call them.

    What is not known keeps people out.
    """
    place = next((each for each in day.zones if each.name == zone), None)
    known = {each.id: each for each in day.volunteers}
    unit = [known[each] for each in members if each in known]
    found = [reason("unit.not_expected", who=names[each]) for each in members if each not in known]
    if len(members) not in UNIT_SIZES:
        found.append(reason("H1.unit"))
    if place is not None:
        found += _of_zone(place, day.policy)
        for person in unit:
            found += _of_person(person, place, set(members), names[person.id], day.policy)
    if unit and not any(is_experienced(person, day.policy) for person in unit):
        found.append(reason("H2.unit", days=day.policy.water_days_min))
    if unit and not frozenset.intersection(*(person.languages for person in unit)):
        found.append(reason("H11.unit"))
    return tuple(found)


def _of_zone(zone: Zone, policy: Policy) -> list[Reason]:
    return [reason("unit.dry")] if zone.depth_cm <= 0 else list(closure(zone, policy))


def _of_person(person: Volunteer, zone: Zone, unit: set[str], name: str, policy: Policy) -> list[Reason]:
    found = []
    if not person.water_ready:
        found.append(reason("H4.unit", who=name))
    if not person.adult:
        if person.guardian is None or person.guardian not in unit:
            found.append(reason("H3.unit_guardian", who=name))
        if zone.depth_cm > policy.minor_depth_cm_max:
            limit_cm = policy.minor_depth_cm_max
            found.append(reason("H3.unit_depth", who=name, depth_cm=zone.depth_cm, limit_cm=limit_cm))
    if person.stature_cm is None:
        found.append(reason("H6.unit_unknown", who=name))
    elif zone.depth_cm > (limit_cm := wading_limit_cm(person.stature_cm, policy)):
        found.append(reason("H6.unit", who=name, depth_cm=zone.depth_cm, limit_cm=limit_cm))
    return found
