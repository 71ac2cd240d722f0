"""Somebody whom the group does not know stands at the landing: the questions of a sign-up, then on land."""

import datetime
import uuid

from django.db import transaction

from reedcrew.fieldbook.errors import GuardianNeeded
from reedcrew.fieldbook.models import Attendance
from reedcrew.fieldbook.services.attendance import walk_up
from reedcrew.fieldbook.services.entries import entered, open_day
from reedcrew.people.models import Account, Member
from reedcrew.people.roles import Role
from reedcrew.people.services import add_child, add_member, save_private
from reedcrew.workdays.models import SignUp, WorkDay


@transaction.atomic
def add_newcomer(
    *,
    day: WorkDay,
    name: str,
    email: str,
    adult: bool,
    guardian: Member | None,
    born_on: datetime.date | None,
    consent: bool,
    emergency_name: str,
    emergency_phone: str,
    at: datetime.datetime,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Attendance:
    """Enter somebody new in the group, give them a place on land and sign them in there.

    Nobody who was never asked what water asks for goes into water, so the place is on land. A person under 18 comes
    with a guardian of the group who agrees; the agreement is recorded. The same ``entry_id`` again changes nothing.

    Raises GuardianNeeded, what people.services.add_member or add_child raises, and what walk_up raises; then
    nothing is written.
    """
    day = open_day(day)
    if known := entered(Attendance, day, entry_id):
        return known
    member = new_member(
        day=day,
        name=name,
        email=email,
        adult=adult,
        guardian=guardian,
        born_on=born_on,
        consent=consent,
        emergency_name=emergency_name,
        emergency_phone=emergency_phone,
        actor=actor,
        now=now,
    )
    return walk_up(day=day, member=member, place=SignUp.Place.LAND, at=at, actor=actor, now=now, entry_id=entry_id)


@transaction.atomic
def new_member(
    *,
    day: WorkDay,
    name: str,
    email: str,
    adult: bool,
    guardian: Member | None,
    born_on: datetime.date | None,
    consent: bool,
    emergency_name: str,
    emergency_phone: str,
    actor: Account,
    now: datetime.datetime,
) -> Member:
    """Enter somebody new in the group of a day. Raises what add_newcomer raises of the person."""
    if adult:
        member = add_member(
            group=day.group, email=email, name=name, role=Role.VOLUNTEER, adult=True, actor=actor, now=now
        )
    else:
        if guardian is None:
            raise GuardianNeeded(name=name)
        member = add_child(guardian=guardian, name=name, born_on=born_on, consent=consent, actor=actor, now=now)
    if emergency_name or emergency_phone:
        save_private(
            member=member,
            emergency_name=emergency_name,
            emergency_phone=emergency_phone,
            health_note="",
            actor=actor,
            now=now,
        )
    return member
