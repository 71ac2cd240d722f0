"""What single change would let somebody in, or open a zone. Nothing is named that was not checked.

A remedy of a person is checked by planning again: in the day with the change, some plan has everyone in water who is in
water now, and this person, too. So nobody has to give way for them. Which of several such people the best plan of that
day takes is another question: an organizer may pin it. People who are not signed up for water have none, for that is
theirs to say. A remedy of a zone is checked by the rules that close it.

Checks are counted (CHECKS_MAX a plan), and people for whom a change would do the same are checked once.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from reedcrew.trade.changes import (
    AnswerChange,
    Change,
    CurrentChange,
    GuardianChange,
    PeopleChange,
    RoomChange,
    StockChange,
    WaterChange,
)
from reedcrew.trade.day import Day, Zone
from reedcrew.trade.items import Item
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.solve import has_plan
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.plan import ClosedZone, Plan, Remedy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sizes import boot_labels, wader_labels
from reedcrew.trade.what_if import altered

CHECKS_MAX = 12  # plans made again for the remedies of one plan
PEOPLE_CHECKED_MAX = 1200  # people of all those plans together, so that a large day has fewer
REMEDIES_MAX = 2  # a person


def with_remedies(day: Day, plan: Plan) -> Plan:
    """The plan with remedies beside everyone who is ready for water and not in it, who has nothing to do, and zones."""
    finder = _Finder(day, plan)
    return replace(
        plan,
        not_placed=tuple(
            replace(left, remedies=finder.remedies_for(left.volunteer, left.reasons)) for left in plan.not_placed
        ),
        shore=tuple(replace(duty, remedies=finder.remedies_for(duty.volunteer, duty.reasons)) for duty in plan.shore),
        closed_zones=tuple(replace(closed, remedies=tuple(_of_zone(day, closed))) for closed in plan.closed_zones),
    )


# --- Private: people -------------------------------------------------------------------------------------------------


class _Finder:
    """Looks for remedies of one plan, and counts what that takes."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self._day = day
        self._people = {one.id: one for one in eligibility.candidates(day)}
        self._wet = [member for unit in plan.units for member in unit.members]
        self._checks_left = min(CHECKS_MAX, PEOPLE_CHECKED_MAX // max(1, len(self._people)))
        self._known: dict[object, bool] = {}

    def remedies_for(self, person: str, reasons: Sequence[Reason]) -> tuple[Remedy, ...]:
        """At most REMEDIES_MAX remedies. None for a person who is not signed up for water: that is theirs to say."""
        one = self._people[person]
        codes = {each.code for each in reasons}
        if not one.person.water_ready or codes & {"pin.not_water", "pin.role", "told.kept"}:
            return ()
        found: list[Remedy] = []
        for remedy in _ideas(self._day, one, codes, self._people):
            if len(found) < REMEDIES_MAX and self._helps(one, remedy.change):
                found.append(remedy)
        return tuple(found)

    def _helps(self, one: Candidate, change: Change) -> bool:
        alike = (change, one.zones, one.experienced, one.wader_labels, one.boot_labels, one.jacket_class)
        key: object = (alike, one.person.languages, one.person.own, one.person.stature_cm)
        if one.guardian is not None or one.person.apart or one.barred:
            key = (key, one.id)
        if key not in self._known:
            if self._checks_left <= 0:
                return False
            self._known[key] = self._may_go_in(one, altered(self._day, change))
        return self._known[key]

    def _may_go_in(self, one: Candidate, day: Day) -> bool:
        """Whether some plan of the day has this person in water, and all who are there now."""
        people = eligibility.candidates(day)
        if not next(each.zones for each in people if each.id == one.id):
            return False
        self._checks_left -= 1
        in_water = (*self._wet, one.id)
        return has_plan(replace(day, told=None), in_water, unless_told=False, candidates=people)


def _ideas(day: Day, one: Candidate, codes: set[str], people: Mapping[str, Candidate]) -> Iterator[Remedy]:
    """Changes that may help against these reasons, the most likely first."""
    person, boot = one.person, one.person.boot_eu
    if "H10.no_first_aider" in codes:
        yield Remedy(reason=reason("remedy.first_aider"), change=PeopleChange(water_ready=False, first_aider=True))
    if codes & {"H5.boot_unknown", "H5.mass_unknown", "H6.stature_unknown", "H11.unknown", "H5.footwear_unknown"}:
        yield Remedy(reason=reason("remedy.answer", who=one.id), change=AnswerChange(person=one.id))
    if boot is not None and not one.owns_waders and codes & {"H5.waders", "H5.waders_taken", "H1.left_over"}:
        for label in wader_labels(boot):
            change = StockChange(item=Item.CHEST_WADERS, size=label)
            yield Remedy(reason=reason("remedy.waders", size=label), change=change)
    lacks_jacket = codes & {"H5.jacket", "H5.jackets_taken", "H1.left_over"} and not one.owns_jacket
    if one.jacket_class is not None and lacks_jacket:
        change = StockChange(item=Item.LIFE_JACKET, size=one.jacket_class.value)
        yield Remedy(reason=reason("remedy.jacket", size=one.jacket_class.value), change=change)
    if boot is not None and codes & {"H5.footwear", "H5.footwear_taken"}:
        for label in boot_labels(boot):
            change = StockChange(item=Item.BOOTS, size=label)
            yield Remedy(reason=reason("remedy.boots", size=label), change=change)
    if codes & {"H3.no_guardian", "H3.guardian_absent", "H3.guardian_ashore"}:
        yield Remedy(reason=reason("remedy.guardian", who=one.id), change=GuardianChange(ward=one.id))
    if "H9.full" in codes:
        for zone in one.zones:
            yield Remedy(reason=reason("remedy.room", zone=zone), change=RoomChange(zone=zone))
    if "H10.no_spotter" in codes:
        yield Remedy(reason=reason("remedy.spotter"), change=PeopleChange(water_ready=False))
    if codes & {"H1.left_over", "H1.no_partner", "H2.no_partner", "H11.no_partner", "H10.no_spotter"}:
        spoken = min(sorted(person.languages), default="")
        partner = PeopleChange(experienced=True, languages=frozenset({spoken}) if spoken else frozenset())
        if "H11.no_partner" in codes:
            yield Remedy(reason=reason("remedy.partner_language", language=spoken), change=partner)
        else:
            yield Remedy(reason=reason("remedy.partner"), change=partner)
    if "H1.left_over" in codes:
        yield Remedy(reason=reason("remedy.spotter"), change=PeopleChange(water_ready=False))


# --- Private: zones --------------------------------------------------------------------------------------------------


def _of_zone(day: Day, closed: ClosedZone) -> Iterator[Remedy]:
    """Changes that alone open a zone, by the rules that close it."""
    zone = next(each for each in day.zones if each.name == closed.zone)
    codes = {each.code for each in closed.reasons}
    ideas: list[Remedy] = []
    if "H10.no_first_aider" in codes:
        change = PeopleChange(water_ready=False, first_aider=True)
        ideas.append(Remedy(reason=reason("remedy.first_aider"), change=change))
    if "H9.closed" in codes:
        ideas.append(Remedy(reason=reason("remedy.room", zone=zone.name), change=RoomChange(zone=zone.name)))
    if "H7.unknown" in codes:
        change_of_current = CurrentChange(zone=zone.name)
        ideas.append(Remedy(reason=reason("remedy.current", zone=zone.name), change=change_of_current))
    if codes & {"H7", "H6.zone"}:
        lower = _fall_that_opens(day, zone)
        if lower is not None:
            because = reason("remedy.water", zone=zone.name, by_cm=lower)
            ideas.append(Remedy(reason=because, change=WaterChange(zone=zone.name, by_cm=-lower)))
    for idea in ideas:
        after = altered(day, idea.change)
        turned = next(each for each in after.zones if each.name == zone.name)
        dry = turned.depth_cm <= 0
        if not closure(turned, after.policy) and (dry or eligibility.first_aiders(after)):
            yield idea


def _fall_that_opens(day: Day, zone: Zone) -> int | None:
    """By how many cm the water must fall before the zone opens with some water left; None if it never does."""
    for depth_cm in range(math.ceil(zone.depth_cm) - 1, 0, -1):
        if not closure(replace(zone, depth_cm=depth_cm), day.policy):
            return zone.depth_cm - depth_cm
    return None
