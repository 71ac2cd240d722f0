"""Handing out the gear of a day and taking it back, by the day's rules; the stock keeps the ledger."""

import datetime
import uuid
from collections.abc import Mapping, Sequence

from django.db import transaction

from reedcrew.crews.gear.errors import GearDayClosed, NoBladeUnder18, NotOfTheDay
from reedcrew.crews.gear.outings import outing_of
from reedcrew.crews.gear.queries import wants_of
from reedcrew.people.models import Account, Member
from reedcrew.stock import services as stock
from reedcrew.stock.models import Entry, GearSet, Kind
from reedcrew.stock.services import Booked, Pieces
from reedcrew.trade.items import BLADES
from reedcrew.workdays.models import WorkDay


@transaction.atomic
def book_for(*, day: WorkDay, actor: Account | None, now: datetime.datetime) -> Booked:
    """Choose a labelled set for each thing that the day's plan lends; what was chosen and still fits stays.

    Follows the plan that people were told, else the proposal. Raises GearDayClosed.
    """
    _ask_open(day)
    return stock.book(group=day.group, outing=outing_of(day), wants=wants_of(day), actor=actor, now=now)


@transaction.atomic
def hand_out(
    *,
    day: WorkDay,
    member: Member,
    sets: Sequence[GearSet] = (),
    counted: Sequence[Pieces] = (),
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Hand out gear to somebody with a place on the day. The same ``submission`` again changes nothing.

    Raises GearDayClosed, NotOfTheDay, NoBladeUnder18 and what stock.services.issue raises.
    """
    _ask_open(day)
    sign_up = day.sign_ups.confirmed().filter(member=member).select_related("member__profile").first()
    if sign_up is None:
        raise NotOfTheDay(name=member.name)
    if not sign_up.member.profile.adult_on(day.date):
        for line in (*(each.line for each in sets), *(each.line for each in counted)):
            if line.kind in BLADES:
                raise NoBladeUnder18(name=member.name, item=line)
    return stock.issue(
        group=day.group,
        outing=outing_of(day),
        member=member,
        sets=sets,
        counted=counted,
        actor=actor,
        now=now,
        submission=submission,
    )


def take_back(
    *,
    day: WorkDay,
    member: Member,
    sets: Mapping[GearSet, Kind] | None = None,
    counted: Sequence[tuple[Pieces, Kind]] = (),
    note: str = "",
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
) -> Entry:
    """Take back what somebody was handed on the day, also after it is closed: people find waders in their cars.

    Raises what stock.services.take_back raises.
    """
    return stock.take_back(
        group=day.group,
        key=day.pk,
        member=member,
        sets=sets,
        counted=counted,
        note=note,
        actor=actor,
        now=now,
        submission=submission,
    )


def _ask_open(day: WorkDay) -> None:
    if not WorkDay.objects.held(day.pk).is_open:
        raise GearDayClosed(status=day.get_status_display())
