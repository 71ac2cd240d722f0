"""In and out of the water, and counting those who are in it.

Times are kept to the second. Everybody goes in as a unit that the hard rules allow, hears the briefing first and is
signed in; whoever is in water can't be signed out, and the day can't be closed.
"""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.crews.inputs import day_input
from reedcrew.fieldbook import errors
from reedcrew.fieldbook.models import Attendance, HeadCheck, Submission, WaterStint
from reedcrew.fieldbook.queries import who_heard
from reedcrew.fieldbook.services.entries import ask_time, entered, open_day, stays_of
from reedcrew.fieldbook.services.sending import keep_sent
from reedcrew.fieldbook.sync.water_sweep import row_of
from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Zone
from reedcrew.trade.unit_rules import unit_refusals
from reedcrew.web.sentences import said_together
from reedcrew.workdays.models import WorkDay

SECOND = datetime.timedelta(seconds=1)


@transaction.atomic
def go_in(
    *,
    day: WorkDay,
    members: Sequence[Member],
    zone: Zone,
    unit_number: int | None,
    at: datetime.datetime,
    actor: Account,
    now: datetime.datetime,
) -> list[WaterStint]:
    """A unit goes into the water of a zone, all of it at once. The same unit again changes nothing.

    Raises FieldbookClosed, what ask_time raises, NobodyNamed, ZoneOfAnotherDay, NotSignedIn, BriefingNotHeard,
    InWaterAlready, UnitMayNotGoIn or NobodyOnShore.
    """
    day = open_day(day)
    ask_time(day, at, now)
    if not members:
        raise errors.NobodyNamed
    if not day.zones.filter(pk=zone.pk).exists():
        raise errors.ZoneOfAnotherDay
    inside = {stint.member_id: stint for stint in WaterStint.objects.in_water().filter(day=day)}
    standing = [inside[each.pk] for each in members if each.pk in inside]
    if len(standing) == len(members) and all(
        (each.zone_id, each.unit_number) == (zone.pk, unit_number) for each in standing
    ):
        return standing
    if standing:
        raise errors.InWaterAlready(names=_names([each for each in members if each.pk in inside]))
    here = {stay.member_id: stay for stay in stays_of(day).filter(signed_out_at=None, signed_in_at__lte=at)}
    if away := [each for each in members if each.pk not in here]:
        raise errors.NotSignedIn(names=_names(away))
    heard = who_heard(day)
    if deaf := [each for each in members if each.pk not in heard]:
        raise errors.BriefingNotHeard(names=_names(deaf))
    _ask_rules(day, zone, members, now)
    _ask_watched(day, set(here) - set(inside) - {each.pk for each in members})
    Attendance.objects.filter(pk__in=[here[each.pk].pk for each in members]).update(in_water=True)
    entry_id = uuid.uuid4()
    said = {"members": sorted(each.pk for each in members), "zone": zone.pk, "unit": unit_number}
    keep_sent(day=day, kind="water_in", data=said, at=at, actor=actor, now=now, entry_id=entry_id)
    return [
        WaterStint.objects.create(
            id=row_of(entry_id, member.pk),
            day=day,
            member=member,
            zone=zone,
            unit_number=unit_number,
            in_at=at,
            entered_by=actor,
            entered_at=now,
        )
        for member in members
    ]


@transaction.atomic
def come_out(
    *, day: WorkDay, members: Sequence[Member], at: datetime.datetime, actor: Account, now: datetime.datetime
) -> list[WaterStint]:
    """People come out. What is true is written down, also where it leaves somebody alone: the page says so loudly.

    Whoever is out already stays so. Raises FieldbookClosed or what ask_time raises.
    """
    day = open_day(day)
    ask_time(day, at, now)
    out = list(WaterStint.objects.in_water().filter(day=day, member__in=members))
    for stint in out:
        stint.out_at, stint.out_by = max(at, stint.in_at + SECOND), actor
        stint.save(update_fields=["out_at", "out_by"])
    if out:
        said = {"members": sorted(stint.member_id for stint in out)}
        came_out_at = max(stint.out_at or at for stint in out)
        keep_sent(day=day, kind="water_out", data=said, at=came_out_at, actor=actor, now=now)
    return out


@transaction.atomic
def count_heads(
    *, day: WorkDay, seen: int, actor: Account, now: datetime.datetime, entry_id: uuid.UUID | None = None
) -> HeadCheck:
    """Somebody counted the people in water, right or not. The same ``entry_id`` again changes nothing.

    Raises FieldbookClosed, EntryOfAnotherDay or SentAlready.
    """
    day = open_day(day)
    if known := entered(HeadCheck, day, entry_id, seen=seen):
        return known
    expected = WaterStint.objects.in_water().filter(day=day).count()
    count = HeadCheck.objects.create(
        id=entry_id or uuid.uuid4(), day=day, seen=seen, expected=expected, entered_by=actor, entered_at=now
    )
    said = {"seen": seen, "expected": expected}
    keep_sent(day=day, kind="head_check", data=said, at=now, actor=actor, now=now, entry_id=count.pk)
    return count


def call_all_out(
    *, day: WorkDay, seen: int, actor: Account, now: datetime.datetime, entry_id: uuid.UUID | None = None
) -> HeadCheck:
    """Everybody is called out and counted on shore; only a count that agrees takes them off the list.

    The same ``entry_id`` again answers as before. Raises FieldbookClosed, EntryOfAnotherDay, SentAlready, or
    CountDiffers with the count kept and the list as it was.
    """
    with transaction.atomic():
        locked = open_day(day)
        if (known := entered(HeadCheck, locked, entry_id, seen=seen)) and known.agrees:
            return known
        if known:
            raise errors.CountDiffers(seen=seen, expected=known.expected)
        inside = list(WaterStint.objects.in_water().filter(day=locked).select_related("member"))
        count = HeadCheck.objects.create(
            id=entry_id or uuid.uuid4(),
            day=locked,
            seen=seen,
            expected=len(inside),
            all_out=True,
            entered_by=actor,
            entered_at=now,
        )
        said = {"count": seen, "expected": len(inside)}
        keep_sent(day=locked, kind="all_out", data=said, at=now, actor=actor, now=now, entry_id=count.pk)
        if count.agrees:
            come_out(day=locked, members=[stint.member for stint in inside], at=now, actor=actor, now=now)
    if not count.agrees:
        raise errors.CountDiffers(seen=seen, expected=count.expected)
    return count


def ask_out_of_water(*, day: WorkDay, member: Member | None = None) -> None:
    """Refuse while somebody of the day, or this one person, counts as in water. Raises StillInWater."""
    inside = WaterStint.objects.in_water().filter(day=day).select_related("member").order_by("member__name", "pk")
    if names := [stint.member.name for stint in inside if member is None or stint.member_id == member.pk]:
        raise errors.StillInWater(names=", ".join(names))


def last_out_of_water(day: WorkDay, member: Member) -> datetime.datetime | None:
    """When somebody came out of the water for the last time; None for who was never in it."""
    last = WaterStint.objects.standing().filter(day=day, member=member).order_by("-in_at").first()
    return last.out_at if last else None


def went_in_by(stint: WaterStint) -> uuid.UUID | None:
    """The id of the entry by which somebody went in."""
    said = Submission.objects.filter(day=stint.day_id, kind=Submission.Kind.WATER_IN)
    ids = said.values_list("entry_id", flat=True)
    return next((entry_id for entry_id in ids if row_of(entry_id, stint.member_id) == stint.pk), None)


def unit_of(stint: WaterStint) -> list[WaterStint]:
    """The standing times in water of everybody who went in by the same entry, this one among them."""
    entry_id = went_in_by(stint)
    times = WaterStint.objects.standing().filter(day=stint.day_id).select_related("member", "day")
    times = times.order_by("member__name", "pk")
    return [each for each in times if each.pk == stint.pk or (entry_id and row_of(entry_id, each.member_id) == each.pk)]


# --- Private ---------------------------------------------------------------------------------------------------------


def _names(members: Sequence[Member]) -> str:
    return ", ".join(member.name for member in members)


def _ask_rules(day: WorkDay, zone: Zone, members: Sequence[Member], now: datetime.datetime) -> None:
    names = {str(member.pk): member.name for member in members}
    if refusals := unit_refusals(day_input(day, now), str(zone.pk), list(names), names):
        raise errors.UnitMayNotGoIn(reasons=said_together(refusals))


def _ask_watched(day: WorkDay, ashore: set[int]) -> None:
    """Design, H10, as far as the list can tell: an adult is on shore."""
    people = Member.objects.filter(pk__in=ashore).with_profile()
    if not any(person.profile.adult_on(day.date) for person in people):
        raise errors.NobodyOnShore
