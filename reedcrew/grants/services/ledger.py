"""Everything that enters a line into the hours ledger. It only grows: a correction is a new entry.

Lines are judged one after another, under the lock of the group's row. An hour belongs whole to one date, the site's: a
stay of the fieldbook to the date of its work day, travel and preparation to the date on which they began. So work past
midnight, or past the end of a grant's period, is never cut in two.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage
from django.db import transaction

from reedcrew.crews.models import Assignment
from reedcrew.fieldbook.models import Attendance
from reedcrew.grants import errors
from reedcrew.grants.models import ACTIVITIES, KINDS, Claim, HourEntry
from reedcrew.grants.queries import lines
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Member
from reedcrew.trade import valuation
from reedcrew.trade.plan import Role as ShoreRole
from reedcrew.trade.valuation import Activity, Kind, Role
from reedcrew.web.times import day_text, duration_text, span_text
from reedcrew.workdays.models import WorkDay

LONGEST_ENTRY = datetime.timedelta(hours=24)
FARTHEST = datetime.timedelta(days=1)  # of an entry's time from its date: work past midnight (convention)
# Of travel and preparation from the work day they were for: people travel home from afar, and survey a season ahead
# (convention).
FARTHEST_FROM_DAY = {Kind.TRAVEL: datetime.timedelta(days=2), Kind.PREPARATION: datetime.timedelta(days=120)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraHours:
    """Travel or preparation of one or several people at the same time, for one work day."""

    members: Sequence[Member]
    kind: Kind
    activity: Activity
    role: Role
    started_at: datetime.datetime
    ended_at: datetime.datetime
    evidence: str
    evidence_file: File | None = None  # type: ignore[type-arg]  # it exists in the stubs only


@transaction.atomic
def enter_hours(*, day: WorkDay, actor: Account, now: datetime.datetime) -> int:
    """Enter the hours of a closed day from its sign-ins and sign-outs; returns the number of new entries.

    Run again it adds nothing: each stay is entered once.
    """
    stays = Attendance.objects.standing().filter(day=day, hour_entries=None).select_related("member")
    roles = _roles_on(day)
    entries = [
        HourEntry(
            group=day.group,
            member=stay.member,
            day=day,
            stand=day.stand,
            attendance=stay,
            activity=(Activity.WATER if stay.in_water else Activity.LAND).value,
            role=_role_of(stay, roles).value,
            date=day.date,
            started_at=stay.signed_in_at,
            ended_at=stay.signed_out_at,
            minutes=stay.minutes,
            entered_by=actor,
            entered_at=now,
        )
        for stay in stays
        if stay.signed_out_at is not None and stay.minutes is not None
    ]
    HourEntry.objects.bulk_create(entries)
    return len(entries)


@transaction.atomic
def enter_extra_hours(*, day: WorkDay, hours: ExtraHours, actor: Account, now: datetime.datetime) -> list[HourEntry]:
    """Enter travel or preparation for a work day, a line for each person; all of them or none.

    Raises DayCancelled, DayApproved, NeedsEvidence, ActivityOfAnotherKind, EndBeforeStart, TooManyHours, HoursInFuture,
    FarFromWorkDay, or HoursTwice where a person has other hours at that time.
    """
    lock_group(day.group)
    if day.status == WorkDay.Status.CANCELLED:
        raise errors.DayCancelled
    ask_open(day)
    _ask_extra(day, hours, now)
    _ask_once(hours.members, hours.started_at, hours.ended_at, day)
    kept = _keep_file(hours.evidence_file)
    entered = HourEntry.objects.bulk_create(
        HourEntry(
            group=day.group,
            member=member,
            day=day,
            stand=day.stand,
            kind=hours.kind.value,
            activity=hours.activity.value,
            role=hours.role.value,
            date=hours.started_at.astimezone(day.zone_info).date(),
            started_at=hours.started_at,
            ended_at=hours.ended_at,
            minutes=(hours.ended_at - hours.started_at) // datetime.timedelta(minutes=1),
            evidence=hours.evidence.strip(),
            evidence_file=kept,
            entered_by=actor,
            entered_at=now,
        )
        for member in hours.members
    )
    record(
        group=day.group,
        actor=actor,
        at=now,
        deed=f"{hours.kind} entered",
        subject=day,
        entries=[entry.pk for entry in entered],
    )
    return entered


@transaction.atomic
def correct_entry(
    *,
    entry: HourEntry,
    started_at: datetime.datetime,
    ended_at: datetime.datetime,
    reason: str,
    actor: Account,
    now: datetime.datetime,
    role: Role | None = None,
    activity: Activity | None = None,
) -> HourEntry:
    """Replace an entry by a new one that names it; equal start and end make it no time at all.

    A correction can be corrected in turn, so that there is a chain of which the last stands. Its date stays, and a
    claim toward a grant passes on to the new entry. Raises AlreadyCorrected (naming the one that stands), DayApproved,
    CorrectionNeedsReason, EndBeforeStart, TooManyHours, ActivityOfAnotherKind, HoursTwice, or FarFromDay for times
    more than a day away from the entry's date at the site.
    """
    lock_group(entry.group)
    old = HourEntry.objects.select_related("group", "member", "day", "stand__site").get(pk=entry.pk)
    ask_standing(old)
    ask_open(old.day)
    if not reason.strip():
        raise errors.CorrectionNeedsReason
    _ask_span(started_at, ended_at)
    zone = old.stand.site.zone_info
    if any(abs(moment.astimezone(zone).date() - old.date) > FARTHEST for moment in (started_at, ended_at)):
        raise errors.FarFromDay(date=day_text(old.date))
    if activity is not None:
        _ask_activity(Kind(old.kind), activity)
    if started_at < old.started_at or ended_at > old.ended_at:  # less time than before meets nothing new
        _ask_once([old.member], started_at, ended_at, old.day, but=old)
    new = HourEntry.objects.create(
        group=old.group,
        member=old.member,
        day_id=old.day_id,
        stand_id=old.stand_id,
        attendance_id=old.attendance_id,
        kind=old.kind,
        activity=activity.value if activity else old.activity,
        role=role.value if role else old.role,
        date=old.date,
        started_at=started_at,
        ended_at=ended_at,
        minutes=(ended_at - started_at) // datetime.timedelta(minutes=1),
        corrects=old,
        reason=reason.strip(),
        evidence=old.evidence,
        evidence_file=old.evidence_file.name,
        entered_by=actor,
        entered_at=now,
    )
    Claim.objects.filter(entry=old).update(entry=new)
    record(group=old.group, actor=actor, at=now, deed="hours corrected", subject=new, corrects=old.pk)
    return new


def ask_standing(entry: HourEntry) -> None:
    """Refuse to touch a line that another one corrects. Raises AlreadyCorrected, naming the one that stands."""
    standing = lines.chain_of(entry)[-1]
    if standing.pk != entry.pk:
        raise errors.AlreadyCorrected(
            standing=standing.pk,
            name=standing.member.name,
            date=day_text(standing.date),
            length=duration_text(standing.minutes),
        )


def ask_open(day: WorkDay) -> None:
    """Refuse to touch the lines of a day that is approved; call it under the group's lock. Raises DayApproved."""
    if approval := lines.approval_of(day):
        raise errors.DayApproved(
            name=lines.name_of(approval.approved_by, day.group),
            date=day_text(approval.approved_at.astimezone(day.zone_info).date()),
        )


# --- Private ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _RolesOnDay:
    leads: frozenset[int]  # accounts
    ashore: dict[int, ShoreRole]  # by member


def _roles_on(day: WorkDay) -> _RolesOnDay:
    """Who led the day (they signed people in) and who had which role on shore by the plan that counts."""
    leads = Attendance.objects.standing().filter(day=day).values_list("entered_by", flat=True)
    ashore = Assignment.objects.in_force().filter(plan__day=day, kind=Assignment.Kind.SHORE)
    return _RolesOnDay(
        leads=frozenset(leads),
        ashore={member: ShoreRole(role) for member, role in ashore.values_list("sign_up__member", "role")},
    )


def _role_of(stay: Attendance, roles: _RolesOnDay) -> Role:
    """The rate follows the task: leading the crew, else the role on shore, else work in the crew."""
    if stay.member.account_id in roles.leads:
        return Role.LEAD
    on_shore = None if stay.in_water else roles.ashore.get(stay.member_id)
    return Role.CREW if on_shore is None else valuation.ROLE_ON_SHORE.get(on_shore, Role.CREW)


def _ask_extra(day: WorkDay, hours: ExtraHours, now: datetime.datetime) -> None:
    if not hours.evidence.strip():
        raise errors.NeedsEvidence
    _ask_activity(hours.kind, hours.activity)
    _ask_span(hours.started_at, hours.ended_at)
    if hours.ended_at > now:
        raise errors.HoursInFuture
    farthest = FARTHEST_FROM_DAY[hours.kind]
    if abs(hours.started_at.astimezone(day.zone_info).date() - day.date) > farthest:
        raise errors.FarFromWorkDay(date=day_text(day.date), days=farthest.days)


def _ask_span(started_at: datetime.datetime, ended_at: datetime.datetime) -> None:
    if ended_at < started_at:
        raise errors.EndBeforeStart
    if ended_at - started_at > LONGEST_ENTRY:
        raise errors.TooManyHours(hours=LONGEST_ENTRY // datetime.timedelta(hours=1))


def _ask_activity(kind: Kind, activity: Activity) -> None:
    if activity not in valuation.ACTIVITIES[kind]:
        words = dict(ACTIVITIES)
        known = ", ".join(str(words[each.value]) for each in valuation.ACTIVITIES[kind])
        raise errors.ActivityOfAnotherKind(activity=words[activity.value], kind=dict(KINDS)[kind.value], known=known)


def _ask_once(
    members: Sequence[Member],
    started_at: datetime.datetime,
    ended_at: datetime.datetime,
    day: WorkDay,
    but: HourEntry | None = None,
) -> None:
    """Refuse to enter an hour of a person twice. Raises HoursTwice."""
    met = lines.meeting(members, started_at, ended_at).select_related("member")
    if but is not None:
        met = met.exclude(pk=but.pk)
    if other := met.first():
        raise errors.HoursTwice(
            name=other.member.name,
            entry=other.pk,
            kind=other.get_kind_display(),
            span=span_text(other.started_at, other.ended_at, day.zone_info),
        )


def _keep_file(file: File | None) -> str:  # type: ignore[type-arg]  # it exists in the stubs only
    """Write a file that shows hours, once for all the lines it is for; answers with its name in the storage."""
    if file is None:
        return ""
    return default_storage.save(f"evidence/{file.name}", ContentFile(file.read()))
