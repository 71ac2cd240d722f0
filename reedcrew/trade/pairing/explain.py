"""Why each unit stands together, and why each other person is not in water.

A request to be kept apart (H8) is private to organizers, so no reason ever tells of one: a person left without a
partner reads that nobody may be in a unit with them, whatever the rule.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import combinations

from reedcrew.trade.day import Day
from reedcrew.trade.items import Item
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing import eligibility, goals
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.placement import Placement
from reedcrew.trade.pairing.roles import spotters_needed
from reedcrew.trade.plan import PAIR, Allotment, Source
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.water import wading_limit_cm

SHARED = (Item.CHEST_WADERS, Item.LIFE_JACKET, Item.BOOTS)  # sets of the stock that run out


def unit_reasons(day: Day, unit: Placement, people: Mapping[str, Candidate]) -> tuple[Reason, ...]:
    """Why these people are a unit: rules first (H1, H2, H3, H6, H11), then wishes and what is less good."""
    return tuple(_unit_reasons(day, unit, [people[member] for member in unit.members]))


def ashore_reasons(
    day: Day,
    candidates: Sequence[Candidate],
    units: Sequence[Placement],
    handed_out: Mapping[str, Sequence[Allotment]],
    kept: Collection[str] = (),
) -> dict[str, tuple[Reason, ...]]:
    """Why each person in no unit is not in water, by id: the rules that keep them out, or what ran short.

    ``kept`` are people who keep a role that they were told.
    """
    if not eligibility.first_aiders(day):
        return {one.id: (reason("H10.no_first_aider"),) for one in candidates}
    placed = {member for unit in units for member in unit.members}
    shortage = _Shortage(day, candidates, units, handed_out)
    return {
        one.id: one.refusals
        or ((reason("told.kept", who=one.id),) if one.id in kept else ())
        or _without_partner(day, one, candidates)
        or (shortage.reason_for(one),)
        for one in candidates
        if one.id not in placed
    }


# --- Private ---------------------------------------------------------------------------------------------------------


def _unit_reasons(day: Day, unit: Placement, members: Sequence[Candidate]) -> Iterator[Reason]:
    if len(members) > PAIR:
        yield reason("H1.trio")
    for one in members:
        if one.experienced and one.person.water_days >= day.policy.water_days_min:
            yield reason("H2.experienced", who=one.id, days=one.person.water_days)
        elif one.experienced:
            yield reason("H2.lead", who=one.id)
    for one in members:
        if one.guardian is not None:
            yield reason("H3.guardian", who=one.id, other=one.guardian)
    depth_cm = next(zone.depth_cm for zone in day.zones if zone.name == unit.zone)
    statures = [one.person.stature_cm for one in members if one.person.stature_cm is not None]
    limit_cm = min(wading_limit_cm(stature_cm, day.policy) for stature_cm in statures)
    yield reason("H6.within", depth_cm=depth_cm, limit_cm=limit_cm)
    shared = frozenset.intersection(*(one.person.languages for one in members))
    yield reason("H11.shared", language=", ".join(sorted(shared)))
    for one, other in combinations(members, 2):
        for asking, asked in ((one, other), (other, one)):
            if asked.id in asking.person.wishes:
                yield reason("goal.wish", who=asking.id, other=asked.id)
    if not any(one.seasoned for one in members):
        yield reason("goal.unseasoned", days=day.policy.seasoned_water_days)
    for one, other in combinations(members, 2):
        if goals.is_repeat(one.person, other.person):
            yield reason("goal.repeat", who=one.id, other=other.id)


def _without_partner(day: Day, one: Candidate, candidates: Sequence[Candidate]) -> tuple[Reason, ...]:
    """Why nobody on the roster at all may be this person's partner; empty if somebody may."""
    others = [other for other in candidates if other.id != one.id and set(one.zones) & set(other.zones)]
    if any(eligibility.may_share_unit(one, other) for other in others):
        return ()
    speaking = [other for other in others if one.person.languages & other.person.languages]
    if others and not speaking:
        return (reason("H11.no_partner", who=one.id),)
    if speaking and not one.experienced and not any(other.experienced for other in speaking):
        return (reason("H2.no_partner", who=one.id, days=day.policy.water_days_min),)
    return (reason("H1.no_partner", who=one.id),)


class _Shortage:
    """What ran out in a plan, so that people who could be in water are not."""

    def __init__(
        self,
        day: Day,
        candidates: Sequence[Candidate],
        units: Sequence[Placement],
        handed_out: Mapping[str, Sequence[Allotment]],
    ) -> None:
        self._depths = {zone.name: zone.depth_cm for zone in day.zones}
        free_units = {zone.name: zone.units_max for zone in day.zones}
        for unit in units:
            free_units[unit.zone] -= 1
        self._roomy = {zone for zone, free in free_units.items() if free > 0}
        self._left = {item: dict(eligibility.stock_of(day, item)) for item in SHARED}
        for allotment in (each for allotments in handed_out.values() for each in allotments):
            if allotment.source is Source.STOCK:
                self._left[allotment.item][allotment.size] -= 1
        placed = {member for unit in units for member in unit.members}
        adults_ashore = sum(one.person.adult and one.id not in placed for one in candidates)
        # A pair more costs two adults at most, and at most one spotter more.
        needed = sum(spotters_needed(day, units).values())
        self._no_spotter = adults_ashore - PAIR < needed + 1

    def reason_for(self, one: Candidate) -> Reason:
        """The first of these that holds: no room, guardian elsewhere, no set, no spotter, no partner."""
        roomy = [zone for zone in one.zones if zone in self._roomy]
        if not roomy:
            return reason("H9.full", who=one.id)
        if one.guardian is not None:
            return reason("H3.guardian_elsewhere", who=one.id, other=one.guardian)
        if all(is_water_work(self._depths[zone]) for zone in roomy):
            if not one.owns_waders and not any(self._left[Item.CHEST_WADERS][label] for label in one.wader_labels):
                return reason("H5.waders_taken", who=one.id)
            if not one.owns_jacket and one.jacket_class is not None:
                size = one.jacket_class.value
                if not self._left[Item.LIFE_JACKET][size]:
                    return reason("H5.jackets_taken", size=size)
        elif self._barefoot(one, roomy):
            return reason("H5.footwear_taken", who=one.id)
        if self._no_spotter:
            return reason("H10.no_spotter")
        return reason("H1.left_over", who=one.id)

    def _barefoot(self, one: Candidate, zones: Sequence[str]) -> bool:
        """Whether only shallow zones are left for somebody who has nothing for their feet, and no boots are left."""
        return (
            not one.owns_footwear
            and not any(is_water_work(self._depths[zone]) for zone in zones)
            and not any(self._left[Item.BOOTS][label] for label in one.boot_labels)
        )
