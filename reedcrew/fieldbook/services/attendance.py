"""Who was on site, from when to when."""

import datetime
import uuid

from django.db import transaction

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.hours import minute_of
from reedcrew.fieldbook.models import Attendance
from reedcrew.fieldbook.services.entries import (
    ask_children,
    ask_time,
    entered,
    open_day,
    stays_of,
)
from reedcrew.fieldbook.services.sending import after_sign_in, after_sign_out, keep_sent
from reedcrew.fieldbook.services.water import ask_out_of_water, last_out_of_water
from reedcrew.people.models import Account, Member
from reedcrew.web.times import clock_text
from reedcrew.workdays import services as workdays
from reedcrew.workdays import waiting_list
from reedcrew.workdays.errors import NoPlaceForYou
from reedcrew.workdays.models import SignUp, WorkDay


@transaction.atomic
def sign_in(
    *,
    day: WorkDay,
    member: Member,
    in_water: bool,
    at: datetime.datetime,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Attendance:
    """Sign somebody in who has a confirmed place. Somebody on site already stays signed in since then.

    Raises FieldbookClosed, EntryOfAnotherDay, SentAlready, TooEarly, TooLate, TimeInFuture, NotOnRoster,
    GuardianNotOnSite, GuardianNotInWater or OverlapsStay.
    """
    day = open_day(day)
    if earlier := entered(Attendance, day, entry_id, member_id=member.pk):
        return earlier
    ask_time(day, at, now)
    stays = Attendance.objects.standing().filter(day=day, member=member)
    if here := stays.filter(signed_out_at=None).first():
        return here
    sign_up = day.sign_ups.confirmed().filter(member=member).first()
    if sign_up is None:
        raise errors.NotOnRoster(name=member.name)
    if not member.profile.adult_on(day.date):
        guardian = Attendance.objects.on_site().filter(day=day, member=member.guardian_id).first()
        if guardian is None:
            raise errors.GuardianNotOnSite(name=member.name)
        if in_water and not guardian.in_water:
            raise errors.GuardianNotInWater(name=member.name)
    last = stays.order_by("-signed_out_at").first()
    if last is not None and last.signed_out_at is not None and at < last.signed_out_at:
        raise errors.OverlapsStay(name=member.name, signed_out=clock_text(last.signed_out_at, day.zone_info))
    workdays.mark_present(sign_up=sign_up, actor=actor, now=now)  # somebody who was given up and came late
    entry_id = entry_id or uuid.uuid4()
    keep_sent(
        day=day,
        kind="sign_in",
        data={"member": member.pk, "in_water": in_water},
        at=after_sign_out(last, at),
        actor=actor,
        now=now,
        entry_id=entry_id,
    )
    return Attendance.objects.create(
        id=entry_id,
        day=day,
        member=member,
        in_water=in_water,
        signed_in_at=minute_of(at),
        entered_by=actor,
        entered_at=now,
    )


@transaction.atomic
def walk_up(
    *,
    day: WorkDay,
    member: Member,
    place: str,
    at: datetime.datetime,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Attendance:
    """Give a place to somebody who came without one, and sign them in.

    Raises NoPlaceLeft, what workdays.services.sign_up raises, and what sign_in raises; then nothing is written.
    """
    day = open_day(day)
    signed_up = workdays.sign_up(day=day, member=member, place=place, actor=actor, now=now).sign_up
    try:
        waiting_list.give_place(sign_up=signed_up, actor=actor, now=now)
    except NoPlaceForYou as error:
        raise errors.NoPlaceLeft(name=member.name, place=signed_up.get_place_display()) from error
    in_water = place == SignUp.Place.WATER
    return sign_in(day=day, member=member, in_water=in_water, at=at, actor=actor, now=now, entry_id=entry_id)


@transaction.atomic
def sign_out(*, attendance: Attendance, at: datetime.datetime, actor: Account, now: datetime.datetime) -> Attendance:
    """Sign somebody out. A second click changes nothing.

    Raises FieldbookClosed, EntryStruck, TimeInFuture, TooLate, OutBeforeIn, ChildrenOnSite or StillInWater.
    """
    day = open_day(attendance.day)
    stay = Attendance.objects.select_related("member").get(pk=attendance.pk, day=day)
    if stay.struck_at is not None:
        raise errors.EntryStruck
    if stay.signed_out_at is not None:
        return stay
    ask_time(day, at, now)
    if minute_of(at) < stay.signed_in_at:
        raise errors.OutBeforeIn(name=stay.member.name, signed_in=clock_text(stay.signed_in_at, day.zone_info))
    ask_children(day, stay.member)
    ask_out_of_water(day=day, member=stay.member)
    keep_sent(
        day=day,
        kind="sign_out",
        data={"stay": str(stay.pk)},
        at=max(after_sign_in(stay, at), last_out_of_water(day, stay.member) or at),
        actor=actor,
        now=now,
    )
    stay.signed_out_at = minute_of(at)
    stay.signed_out_by = actor
    stay.save(update_fields=["signed_out_at", "signed_out_by"])
    return stay


def ask_left(*, sign_up: SignUp) -> None:
    """Refuse that somebody who is signed in gives up their place. Raises StillOnSite."""
    if stays_of(sign_up.day).filter(member=sign_up.member, signed_out_at=None).exists():
        raise errors.StillOnSite(name=sign_up.member.name)


def ask_never_came(*, sign_up: SignUp) -> None:
    """Refuse to call somebody absent who was on site that day. Raises WasOnSite."""
    if stays_of(sign_up.day).filter(member=sign_up.member).exists():
        raise errors.WasOnSite(name=sign_up.member.name)
