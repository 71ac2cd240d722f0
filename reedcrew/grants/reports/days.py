"""The work days of a report with their evidence: sign-ins, approvals, corrections, and what did not count."""

from collections.abc import Mapping, Sequence

from django.db.models import Count, Max, Min, Sum

from reedcrew.fieldbook.models import Attendance
from reedcrew.grants.models import Approval, HourEntry
from reedcrew.grants.reports.codes import UNKNOWN_PERSON
from reedcrew.grants.reports.ground import TallyRow, stems_of
from reedcrew.grants.reports.records import CorrectionLine, DayLine
from reedcrew.grants.reports.scope import Scope
from reedcrew.grants.reports.sums import LedgerSums
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import WorkDay


def day_lines(
    scope: Scope,
    stands: Mapping[int, Stand],
    sums: LedgerSums,
    rows: Sequence[TallyRow],
    codes: Mapping[int, str],
    corrections: Sequence[CorrectionLine],
) -> tuple[DayLine, ...]:
    """A line for each day with hours that count, by date. Six queries."""
    keys = list(sums.by_day)
    days = WorkDay.objects.filter(pk__in=keys).order_by("date", "starts_at", "pk")
    signed = {
        key: found
        for key, *found in Attendance.objects.standing()
        .filter(day__in=keys)
        .order_by()
        .values("day")
        .annotate(number=Count("pk"), came=Min("signed_in_at"), left=Max("signed_out_at"))
        .values_list("day", "number", "came", "left")
    }
    approvals = {
        day: (account, at)
        for day, account, at in Approval.objects.standing()
        .filter(day__in=keys)
        .values_list("day", "approved_by", "approved_at")
    }
    all_minutes = dict(
        HourEntry.objects.standing().filter(day__in=keys).order_by().values_list("day").annotate(Sum("minutes"))
    )
    loads = dict(scope.loads().order_by().values_list("day").annotate(Sum("count")))
    corrected: dict[int, int] = {}
    for line in corrections:
        corrected[line.day_id] = corrected.get(line.day_id, 0) + 1
    tallies: dict[int, list[TallyRow]] = {}
    for row in rows:
        tallies.setdefault(row.day, []).append(row)
    found = []
    for key, date, title, stand_key in days.values_list("pk", "date", "title", "stand"):
        stand = stands[stand_key]
        sign_ins, came, left = signed.get(key, (0, None, None))
        approver, approved_at = approvals.get(key, (None, None))
        hours = sums.by_day[key]
        found.append(
            DayLine(
                day_id=key,
                date=date,
                title=title,
                stand_id=stand_key,
                stand=stand.name,
                site=stand.site.name,
                zone=stand.site.time_zone,
                people=sums.people_by_day.get(key, 0),
                hours=hours,
                elsewhere=all_minutes[key] - hours.minutes,
                sign_ins=sign_ins,
                first_in=came,
                last_out=left,
                approved_by=codes.get(approver, UNKNOWN_PERSON) if approver else "",
                approved_at=approved_at,
                corrections=corrected.get(key, 0),
                stems=stems_of(tallies.get(key, []), [key]),
                loads=loads.get(key, 0),
            )
        )
    return tuple(found)


def correction_lines(scope: Scope, codes: Mapping[int, str]) -> tuple[CorrectionLine, ...]:
    """Every correction on the way to a line that counts, the oldest first; a claim passes on from each to the next."""
    claimed = HourEntry.objects.of_group(scope.grant.group).claimed_by(scope.grant).filter(corrects__isnull=False)
    rows = (
        claimed.in_period(scope.first, scope.last)
        .order_by("date", "pk")
        .values_list(
            "pk",
            "corrects",
            "date",
            "day",
            "member__code",
            "corrects__minutes",
            "minutes",
            "reason",
            "entered_by",
            "entered_at",
        )
    )
    return tuple(
        CorrectionLine(
            entry=pk,
            corrects=corrects or 0,
            date=date,
            day_id=day,
            person=person,
            before=before or 0,
            after=after,
            reason=reason,
            by=codes.get(author, UNKNOWN_PERSON),
            at=at,
        )
        for pk, corrects, date, day, person, before, after, reason, author, at in rows
    )
