"""What was cut, where it went, and striking out what was wrong."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction

from reedcrew.fieldbook import errors
from reedcrew.fieldbook.hours import minute_of
from reedcrew.fieldbook.models import Attendance, FieldEntry, Load, Submission, Tally, WaterStint
from reedcrew.fieldbook.services.entries import ask_children, entered, open_day
from reedcrew.fieldbook.services.sending import keep_sent
from reedcrew.fieldbook.services.water import ask_out_of_water, unit_of, went_in_by
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.people.policy import policy_of
from reedcrew.stands.models import Zone
from reedcrew.trade import effort
from reedcrew.trade.disposal import bag_sun_end
from reedcrew.workdays.models import WorkDay


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
    day = open_day(day)
    if earlier := entered(Load, day, entry_id, kind=kind, count=count, seed_heads=seed_heads, place=place):
        return earlier
    entry_id = entry_id or uuid.uuid4()
    said = {"as": kind, "count": count, "seed_heads": seed_heads, "place": place}
    keep_sent(day=day, kind="load", data=said, at=now, actor=actor, now=now, entry_id=entry_id)
    return Load.objects.create(
        id=entry_id,
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

    A time in water goes with those of everybody who went in by the same entry, once all of them are out: nobody
    disappears from the list while they may be in water. Raises FieldbookClosed, StrikeNeedsReason, StillInWater, or
    ChildrenOnSite for a stay that still lasts.
    """
    day = open_day(entry.day)
    if not reason.strip():
        raise errors.StrikeNeedsReason
    entry.refresh_from_db()
    if entry.struck_at is None:
        if isinstance(entry, Attendance) and entry.signed_out_at is None:
            ask_children(day, entry.member)
            ask_out_of_water(day=day, member=entry.member)
        also = [str(each) for each in _repeats(entry)] if isinstance(entry, Attendance) else []
        said = {"entry": str(entry.pk), "also": also, "reason": reason.strip()}
        struck: Sequence[FieldEntry] = [entry]
        if isinstance(entry, WaterStint):
            struck = unit_of(entry)
            if inside := [stint.member.name for stint in struck if stint.out_at is None]:
                raise errors.StillInWater(names=", ".join(inside))
            said["entry"] = str(went_in_by(entry) or entry.pk)
        keep_sent(day=day, kind="strike", data=said, at=now, actor=actor, now=now)
        for each in struck:
            each.struck_at, each.struck_by, each.struck_reason = now, actor, reason.strip()
            each.save(update_fields=["struck_at", "struck_by", "struck_reason"])
            record(group=day.group, actor=actor, at=now, deed="entry struck", subject=each)


# --- Private ---------------------------------------------------------------------------------------------------------


def _repeats(stay: Attendance) -> list[uuid.UUID]:
    """Other sign-ins of the person during a stay, as of a second phone: with the stay they are struck out too."""
    during = Submission.objects.filter(day=stay.day_id, member=stay.member_id, kind__in=["sign_in", "walk_up"])
    during = during.filter(at__gte=stay.signed_in_at).exclude(entry_id=stay.pk)
    return [
        entry_id
        for entry_id, at in during.values_list("entry_id", "at")
        if stay.signed_out_at is None or minute_of(at) <= stay.signed_out_at
    ]


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
    day = open_day(day)
    said = {"zone_id": zone.pk, "unit_number": unit_number, "method": method, "stems": known.stems, **counts}
    if earlier := entered(Tally, day, entry_id, **said):
        return earlier
    if not day.zones.filter(pk=zone.pk).exists():
        raise errors.ZoneOfAnotherDay
    entry_id = entry_id or uuid.uuid4()
    counted = counts if method == Tally.Method.BUNDLES else {"stems": known.stems}
    kept = {"zone": zone.pk, "unit": unit_number, **counted}
    keep_sent(day=day, kind="tally", data=kept, at=now, actor=actor, now=now, entry_id=entry_id)
    return Tally.objects.create(
        id=entry_id,
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
