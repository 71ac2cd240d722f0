"""The organizer's bench: everybody of a day with what they may do, the zones, the plan people know and the next one."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Q

from reedcrew.crews.differences import differences
from reedcrew.crews.inputs import day_input
from reedcrew.crews.models import Plan, PlanPin
from reedcrew.crews.queries.plan_sheet import PlanSheet, plan_sheet
from reedcrew.crews.rebuilt import trade_plan
from reedcrew.crews.records import Names, Record, in_words, reasons_in_words
from reedcrew.people.queries import member_name
from reedcrew.trade.day import Day
from reedcrew.trade.method import method_for
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.reasons import Reason
from reedcrew.workdays.models import SignUp, WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterLine:
    """One person with a place: what they may do, and why not more. ``zones`` are those with water they may enter."""

    sign_up: SignUp
    name: str
    absent: bool
    adult: bool
    experienced: bool
    lead: bool
    first_aider: bool
    water_days: int
    zones: Sequence[str]
    refusals: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneState:
    """A zone today: how deep, how it is worked, whether it is open and why not. ``key`` is its row's."""

    key: int
    zone: str
    depth_cm: int
    current_m_s: float | None
    units_max: int
    method: Reason
    closed: Sequence[Reason]


@dataclass(frozen=True, slots=True, kw_only=True)
class PinLine:
    """A pin in words, and whether it is about somebody who is not expected (then it waits)."""

    pin: PlanPin
    waits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AsideLine:
    """Pins that the rules overruled: of whom, by which rule, why."""

    code: str
    people: Sequence[str]
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeLine:
    """What one person would be told anew: where, or only with which gear."""

    name: str
    reason: Reason | None
    gear: Sequence[Mapping[str, str]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The bench page's content.

    ``sheet`` is the plan that is shown: the one that people were told, or a proposal. ``changes`` is what the proposal
    would change of what they were told, ``amended`` what the last acceptance changed.
    """

    sheet: PlanSheet
    told: Plan | None
    proposal: Plan | None
    changes: Sequence[ChangeLine]
    amended: Sequence[ChangeLine]
    roster: Sequence[RosterLine]
    zones: Sequence[ZoneState]
    pins: Sequence[PinLine]
    aside: Sequence[AsideLine]

    @property
    def shows_proposal(self) -> bool:
        """Whether the sheet is one that nobody was told yet."""
        return self.sheet.plan is not None and not self.sheet.plan.told

    @property
    def may_accept(self) -> bool:
        """Whether there is something to accept: a first plan, or one that differs, and nothing newer on its way."""
        return self.proposal is not None and self.sheet.due_since is None

    @property
    def people_in_water(self) -> int:
        """How many may enter water at all."""
        return sum(bool(line.zones) for line in self.roster)


def bench(day: WorkDay, now: datetime.datetime, *, proposal: bool = False) -> Bench:
    """All of the bench page but the forms; ``proposal`` shows the proposal beside what people were told.

    The number of queries does not grow with the roster.
    """
    question = day_input(day, now)
    accepted_name = member_name(group="day__stand__site__group", account="accepted_by")
    plans = list(day.plans.filter(Q(told=True) | Q(current=True)).annotate(accepted_name=accepted_name))
    told = next((plan for plan in plans if plan.told), None)
    current = next((plan for plan in plans if plan.current), None)
    sign_ups = list(day.sign_ups.confirmed().for_roster().order_by("member__name", "member_id"))
    names = Names(
        people={str(pk): name for pk, name in day.sign_ups.values_list("member", "member__name")},
        zones={str(pk): name for pk, name in day.stand.zones.values_list("pk", "name")},
    )
    changes = change_lines(told, current, names) if told and current and told != current else ()
    amendable = current if told is None or changes else None
    shown = current if current is not None and (told is None or (proposal and changes)) else told
    return Bench(
        sheet=plan_sheet(day, shown),
        told=told,
        proposal=amendable,
        changes=changes,
        amended=_amended(day, told, names),
        roster=_roster(sign_ups, question, names),
        zones=_zones(question, names),
        pins=_pins(day, question),
        aside=_aside(current or told, names),
    )


def change_lines(told: Plan, proposed: Plan, names: Names) -> tuple[ChangeLine, ...]:
    """What one plan changes of another, by name."""
    found = differences(trade_plan(told), trade_plan(proposed))
    moves = [
        ChangeLine(name=names.people.get(person, person), reason=in_words(reason, names))
        for person, reason in found.moves
    ]
    gear = [
        ChangeLine(name=names.people.get(each.person, each.person), reason=None, gear=each.gear) for each in found.gear
    ]
    return tuple(sorted((*moves, *gear), key=lambda line: line.name))


# --- Private ---------------------------------------------------------------------------------------------------------


def _amended(day: WorkDay, told: Plan | None, names: Names) -> tuple[ChangeLine, ...]:
    if told is None:
        return ()
    before = day.plans.filter(accepted_at__lt=told.accepted_at).order_by("-accepted_at").first()
    return () if before is None else change_lines(before, told, names)


def _roster(sign_ups: Sequence[SignUp], question: Day, names: Names) -> tuple[RosterLine, ...]:
    people = {one.id: one for one in eligibility.candidates(question)}
    helpers = set(eligibility.first_aiders(question))
    return tuple(_person(sign_up, people.get(str(sign_up.member_id)), helpers, names) for sign_up in sign_ups)


def _person(sign_up: SignUp, one: Candidate | None, helpers: set[str], names: Names) -> RosterLine:
    return RosterLine(
        sign_up=sign_up,
        name=sign_up.member.name,
        absent=one is None,
        adult=one is not None and one.person.adult,
        experienced=one is not None and one.experienced,
        lead=one is not None and one.person.lead,
        first_aider=one is not None and one.id in helpers,
        water_days=one.person.water_days if one else 0,
        zones=[names.zones.get(zone, zone) for zone in one.zones] if one else (),
        refusals=[in_words(refusal, names) for refusal in one.refusals] if one else (),
    )


def _zones(question: Day, names: Names) -> tuple[ZoneState, ...]:
    return tuple(
        ZoneState(
            key=int(zone.name),
            zone=names.zones[zone.name],
            depth_cm=zone.depth_cm,
            current_m_s=zone.current_m_s,
            units_max=zone.units_max,
            method=method_for(zone.depth_cm).reason,
            closed=[in_words(reason, names) for reason in closure(zone, question.policy)],
        )
        for zone in sorted(question.zones, key=lambda zone: (zone.depth_cm, names.zones[zone.name]))
    )


def _pins(day: WorkDay, question: Day) -> tuple[PinLine, ...]:
    here = {one.id for one in question.volunteers}
    return tuple(
        PinLine(
            pin=pin,
            waits=str(pin.member_id) not in here or (pin.other_id is not None and str(pin.other_id) not in here),
        )
        for pin in day.pins.select_related("member", "other", "zone")
    )


def _aside(plan: Plan | None, names: Names) -> tuple[AsideLine, ...]:
    records: Sequence[Record] = plan.answer.get("pins_aside", ()) if plan else ()
    return tuple(
        AsideLine(
            code=record["code"],
            people=[names.people.get(person, person) for person in record["people"]],
            reason=reasons_in_words([record["reason"]], names)[0],
        )
        for record in records
    )
