"""Everything that the fieldbook writes: who was there, what was cut, where it went, and closing the day.

Entries of one day are judged one after another, under the lock of the day's row. A phone may give an entry its id; the
same id again answers with the entry that stands.
"""

import datetime
import uuid
from collections.abc import Sequence
from typing import TypeVar

from django.db import transaction
from django.db.models import QuerySet

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.models import Attendance, FieldEntry, Load, Tally
from reedcrew.people.audit import record
from reedcrew.people.models import Account, Member
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Zone
from reedcrew.trade import effort
from reedcrew.trade.disposal import bag_sun_end
from reedcrew.web.times import clock_text
from reedcrew.workdays import services as workdays
from reedcrew.workdays import waiting_list
from reedcrew.workdays.errors import NoPlaceForYou
from reedcrew.workdays.models import SignUp, WorkDay

_Entry = TypeVar("_Entry", bound=FieldEntry)

OPENS_BEFORE = datetime.timedelta(hours=6)  # (cp): setting up a landing takes less than a morning
TAKES_UNTIL = datetime.timedelta(hours=6)  # (cp) after the end: a later time is a press that came days too late


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
    day = _open(day)
    if entered := _entered(Attendance, day, entry_id, member_id=member.pk):
        return entered
    _ask_time(day, at, now)
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
    return Attendance.objects.create(
        id=entry_id or uuid.uuid4(),
        day=day,
        member=member,
        in_water=in_water,
        signed_in_at=_minute(at),
        entered_by=actor,
        entered_at=now,
    )


@transaction.atomic
def walk_up(
    *, day: WorkDay, member: Member, place: str, at: datetime.datetime, actor: Account, now: datetime.datetime
) -> Attendance:
    """Give a place to somebody who came without one, and sign them in.

    Raises NoPlaceLeft, what workdays.services.sign_up raises, and what sign_in raises; then nothing is written.
    """
    day = _open(day)
    signed_up = workdays.sign_up(day=day, member=member, place=place, actor=actor, now=now).sign_up
    try:
        waiting_list.give_place(sign_up=signed_up, actor=actor, now=now)
    except NoPlaceForYou as error:
        raise errors.NoPlaceLeft(name=member.name, place=signed_up.get_place_display()) from error
    return sign_in(day=day, member=member, in_water=place == SignUp.Place.WATER, at=at, actor=actor, now=now)


@transaction.atomic
def sign_out(*, attendance: Attendance, at: datetime.datetime, actor: Account, now: datetime.datetime) -> Attendance:
    """Sign somebody out. A second click changes nothing.

    Raises FieldbookClosed, EntryStruck, TimeInFuture, TooLate, OutBeforeIn or ChildrenOnSite.
    """
    day = _open(attendance.day)
    stay = Attendance.objects.select_related("member").get(pk=attendance.pk, day=day)
    if stay.struck_at is not None:
        raise errors.EntryStruck
    if stay.signed_out_at is not None:
        return stay
    _ask_time(day, at, now)
    if _minute(at) < stay.signed_in_at:
        raise errors.OutBeforeIn(name=stay.member.name, signed_in=clock_text(stay.signed_in_at, day.zone_info))
    _ask_children(day, stay.member)
    stay.signed_out_at = _minute(at)
    stay.signed_out_by = actor
    stay.save(update_fields=["signed_out_at", "signed_out_by"])
    return stay


@transaction.atomic
def tally_counted(
    *,
    day: WorkDay,
    zone: Zone,
    stems: int,
    unit_number: int | None,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Tally:
    """Record stems counted one by one. Raises what tally_bundles raises."""
    return _tally(day, zone, effort.counted(stems), Tally.Method.COUNTED, unit_number, actor, now, entry_id)


@transaction.atomic
def tally_bundles(
    *,
    day: WorkDay,
    zone: Zone,
    bundles: int,
    sample: Sequence[int],
    unit_number: int | None,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Tally:
    """Record stems as bundles times the mean of a sample of bundles, with the interval that the sample allows.

    Raises FieldbookClosed, EntryOfAnotherDay, ZoneOfAnotherDay, or UnusableInput by trade.effort.
    """
    known = effort.from_bundles(bundles, sample)
    return _tally(
        day, zone, known, Tally.Method.BUNDLES, unit_number, actor, now, entry_id, bundles=bundles, sample=list(sample)
    )


@transaction.atomic
def record_load(
    *,
    day: WorkDay,
    kind: str,
    count: int,
    seed_heads: bool,
    place: str,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Load:
    """Record cut material as a pile or as bags; bags get the day until which they lie in the sun.

    Raises FieldbookClosed, EntryOfAnotherDay or SentAlready.
    """
    day = _open(day)
    if entered := _entered(Load, day, entry_id, kind=kind, count=count, seed_heads=seed_heads, place=place):
        return entered
    return Load.objects.create(
        id=entry_id or uuid.uuid4(),
        day=day,
        kind=kind,
        count=count,
        seed_heads=seed_heads,
        place=place,
        sun_until=bag_sun_end(day.date, policy_of(day.group)) if kind == Load.Kind.BAGS else None,
        entered_by=actor,
        entered_at=now,
    )


@transaction.atomic
def strike(*, entry: FieldEntry, reason: str, actor: Account, now: datetime.datetime) -> None:
    """Strike out a wrong entry; it stays readable. Struck again it keeps its first reason.

    Raises FieldbookClosed, StrikeNeedsReason, or ChildrenOnSite for a guardian's stay that still lasts.
    """
    day = _open(entry.day)
    if not reason.strip():
        raise errors.StrikeNeedsReason
    entry.refresh_from_db()
    if entry.struck_at is None:
        if isinstance(entry, Attendance) and entry.signed_out_at is None:
            _ask_children(day, entry.member)
        entry.struck_at, entry.struck_by, entry.struck_reason = now, actor, reason.strip()
        entry.save(update_fields=["struck_at", "struck_by", "struck_reason"])
        record(group=day.group, actor=actor, at=now, deed="entry struck", subject=entry)


@transaction.atomic
def close(*, day: WorkDay, actor: Account, now: datetime.datetime) -> WorkDay:
    """Close the day: its hours and stems go to the ledger. Raises FieldbookClosed, NotStarted or PeopleOnSite."""
    day = _open(day)
    if now < day.starts_at:
        raise errors.NotStarted
    ask_everyone_left(day=day)
    outcomes: dict[int, SignUp.Outcome] = {}
    for stay in _stays(day):
        was_in_water = stay.in_water or outcomes.get(stay.member_id) == SignUp.Outcome.WATER
        outcomes[stay.member_id] = SignUp.Outcome.WATER if was_in_water else SignUp.Outcome.LAND
    return workdays.close_day(day=day, outcomes=outcomes, actor=actor, now=now)


def ask_everyone_left(*, day: WorkDay) -> None:
    """Refuse to end a day on which somebody is signed in. Raises PeopleOnSite."""
    if names := [stay.member.name for stay in _stays(day).filter(signed_out_at=None)]:
        raise errors.PeopleOnSite(names=", ".join(names))


def ask_left(*, sign_up: SignUp) -> None:
    """Refuse that somebody who is signed in gives up their place. Raises StillOnSite."""
    if _stays(sign_up.day).filter(member=sign_up.member, signed_out_at=None).exists():
        raise errors.StillOnSite(name=sign_up.member.name)


def ask_never_came(*, sign_up: SignUp) -> None:
    """Refuse to call somebody absent who was on site that day. Raises WasOnSite."""
    if _stays(sign_up.day).filter(member=sign_up.member).exists():
        raise errors.WasOnSite(name=sign_up.member.name)


# --- Private ---------------------------------------------------------------------------------------------------------


def _open(day: WorkDay) -> WorkDay:
    """The day as it is now, its row held. Raises FieldbookClosed unless it is posted."""
    day = WorkDay.objects.held(day.pk)
    if not day.is_open:
        raise errors.FieldbookClosed(status=day.get_status_display())
    return day


def _entered(model: type[_Entry], day: WorkDay, entry_id: uuid.UUID | None, **said: object) -> _Entry | None:
    """The entry that has this id already, as after a double press.

    Raises EntryOfAnotherDay for an id that was given on another day, and SentAlready where it says something else than
    ``said``, as after a step back in the browser: nothing is dropped unseen.
    """
    entry = model._default_manager.filter(pk=entry_id).first() if entry_id else None
    if entry is not None and entry.day_id != day.pk:
        raise errors.EntryOfAnotherDay
    if entry is not None and any(getattr(entry, name) != value for name, value in said.items()):
        raise errors.SentAlready
    return entry


def _stays(day: WorkDay) -> QuerySet[Attendance]:
    return Attendance.objects.standing().filter(day=day).select_related("member")


def _ask_time(day: WorkDay, at: datetime.datetime, now: datetime.datetime) -> None:
    if at > now:
        raise errors.TimeInFuture
    if at < day.starts_at - OPENS_BEFORE:
        raise errors.TooEarly(hours=OPENS_BEFORE // datetime.timedelta(hours=1))
    if at > day.ends_at + TAKES_UNTIL:
        raise errors.TooLate(hours=TAKES_UNTIL // datetime.timedelta(hours=1))


def _ask_children(day: WorkDay, guardian: Member) -> None:
    """Design, H3: a minor is never on site without their own guardian. Raises ChildrenOnSite."""
    children = Attendance.objects.on_site().filter(day=day, member__guardian=guardian).select_related("member__profile")
    if minors := [child.member.name for child in children if not child.member.profile.adult_on(day.date)]:
        raise errors.ChildrenOnSite(children=", ".join(minors))


def _minute(moment: datetime.datetime) -> datetime.datetime:
    """Stamps are whole minutes, so that hours are exact."""
    return moment.replace(second=0, microsecond=0)


def _tally(
    day: WorkDay,
    zone: Zone,
    known: effort.StemTally,
    method: Tally.Method,
    unit_number: int | None,
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None,
    **counts: object,
) -> Tally:
    day = _open(day)
    said = {"zone_id": zone.pk, "unit_number": unit_number, "method": method, "stems": known.stems, **counts}
    if entered := _entered(Tally, day, entry_id, **said):
        return entered
    if not day.zones.filter(pk=zone.pk).exists():
        raise errors.ZoneOfAnotherDay
    return Tally.objects.create(
        id=entry_id or uuid.uuid4(),
        day=day,
        zone=zone,
        method=method,
        unit_number=unit_number,
        stems=known.stems,
        stems_low=known.low,
        stems_high=known.high,
        entered_by=actor,
        entered_at=now,
        **counts,
    )
