"""What an organizer pins of a day's plans, and takes back. A pin never overrules a hard rule."""

import datetime
from dataclasses import dataclass, replace

from django.db import transaction

from reedcrew.crews.errors import NotOfThisDay, PinnedAlready, PinRefused
from reedcrew.crews.inputs import day_input, trade_pin
from reedcrew.crews.models import PlanPin
from reedcrew.crews.records import Names, said
from reedcrew.crews.services.planning import ask_plannable, order_plan
from reedcrew.people.audit import record
from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Zone
from reedcrew.trade import pairing
from reedcrew.trade.pins import HAS_ZONE, NEEDS_OTHER, NEEDS_ROLE, NEEDS_ZONE, PinKind, PinRefusal
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class PinFacts:
    """What is pinned; which of the last three are given depends on the kind (trade.pins)."""

    kind: PinKind
    member: Member
    other: Member | None = None
    zone: Zone | None = None
    role: str = ""


def pin(*, day: WorkDay, facts: PinFacts, actor: Account, now: datetime.datetime) -> PlanPin:
    """Pin something of every plan of the day from now on; the plan is due.

    Raises DayNotPlannable, NotOfThisDay, PinnedAlready, or PinRefused with the code of the rule that it breaks, alone
    or with the pins that stand. Then nothing changes.
    """
    ask_plannable(day=day, now=now)
    wanted = row_of(day, facts, actor, now)
    ask_allowed(wanted, now)
    with transaction.atomic():
        locked = WorkDay.objects.held(day.pk)
        ask_plannable(day=locked, now=now)
        if any(trade_pin(each) == trade_pin(wanted) for each in locked.pins.all()):
            raise PinnedAlready
        wanted.save()
        record(group=locked.group, actor=actor, at=now, deed="pinned", subject=locked, kind=wanted.kind)
        order_plan(day=locked, now=now)
    return wanted


@transaction.atomic
def unpin(*, day: WorkDay, pin_pk: int, actor: Account, now: datetime.datetime) -> None:
    """Take a pin back; the plan is due. Taken back already: no change. Raises DayNotPlannable."""
    locked = WorkDay.objects.held(day.pk)
    ask_plannable(day=locked, now=now)
    removed, _rows = locked.pins.filter(pk=pin_pk).delete()
    if removed:
        record(group=locked.group, actor=actor, at=now, deed="pin taken back", subject=locked)
        order_plan(day=locked, now=now)


def row_of(day: WorkDay, facts: PinFacts, actor: Account, now: datetime.datetime) -> PlanPin:
    """The row of a pin, not stored, with just the fields that its kind needs. Raises NotOfThisDay."""
    here = set(day.sign_ups.expected().values_list("member", flat=True))
    other = facts.other if facts.kind in NEEDS_OTHER else None
    at_zone = facts.kind in NEEDS_ZONE or (facts.kind is PinKind.ROLE and facts.role in HAS_ZONE)
    zone = facts.zone if at_zone else None
    if facts.member.pk not in here or (other is not None and other.pk not in here):
        raise NotOfThisDay
    if zone is not None and not day.zones.filter(pk=zone.pk).exists():
        raise NotOfThisDay
    return PlanPin(
        day=day,
        kind=facts.kind.value,
        member=facts.member,
        other=other,
        zone=zone,
        role=facts.role if facts.kind in NEEDS_ROLE else "",
        made_by=actor,
        made_at=now,
    )


def ask_allowed(wanted: PlanPin, now: datetime.datetime) -> None:
    """Refuse a pin that breaks a hard rule, alone or with the pins that stand. Raises PinRefused.

    Pins that stand and are overruled already play no part.
    """
    new = trade_pin(wanted)
    question = day_input(wanted.day, now)
    pins = (*question.pins, new)
    while refusals := pairing.pin_refusals(replace(question, pins=pins)):
        for refusal in refusals:
            if new in refusal.pins:
                raise _refused(refusal, wanted)
        gone = {place for refusal in refusals for place in refusal.places}
        pins = tuple(each for place, each in enumerate(pins) if place not in gone)


# --- Private ---------------------------------------------------------------------------------------------------------


def _refused(refusal: PinRefusal, wanted: PlanPin) -> PinRefused:
    """The refusal as an error at the field of the form that would be right to change."""
    kind = PinKind(wanted.kind)
    field = "other" if kind in NEEDS_OTHER else "zone" if kind in NEEDS_ZONE else "member"
    if kind in NEEDS_ROLE:
        field = "role"
    names = Names(
        people={str(pk): name for pk, name in wanted.day.sign_ups.values_list("member", "member__name")},
        zones={str(pk): name for pk, name in wanted.day.stand.zones.values_list("pk", "name")},
    )
    return PinRefused(code=refusal.code, why=said(refusal.reason, names), field=field)
