"""Days of the ledger: which wait for approval, and what a grant can count of each."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Count, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from reedcrew.grants.models import Approval, Grant, HourEntry
from reedcrew.people.models import Group
from reedcrew.people.queries import member_name
from reedcrew.workdays.models import WorkDay


def days_to_approve(group: Group) -> QuerySet[WorkDay]:
    """Closed days with lines, the latest first, with ``entries``, ``minutes``, ``approved_at`` and ``approver``."""
    lines = HourEntry.objects.standing().filter(day=OuterRef("pk")).order_by().values("day")
    approval = Approval.objects.standing().filter(day=OuterRef("pk"))
    named = approval.annotate(name=member_name(group="day__stand__site__group", account="approved_by"))
    days = WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED).with_stand()
    return (
        days.annotate(
            entries=Coalesce(Subquery(lines.annotate(number=Count("pk")).values("number")), 0),
            minutes=Coalesce(Subquery(lines.annotate(sum=Sum("minutes")).values("sum")), 0),
            approved_at=Subquery(approval.values("approved_at")[:1]),
            approver=Subquery(named.values("name")[:1]),
        )
        .filter(entries__gt=0)
        .order_by("-date", "-pk")
    )


def waiting_days(groups: Sequence[Group]) -> QuerySet[WorkDay]:
    """Closed days of groups with lines that are not approved; a day may come more than once."""
    closed = WorkDay.objects.filter(status=WorkDay.Status.CLOSED, hour_entries__isnull=False)
    return closed.filter(stand__site__group__in=groups).exclude(pk__in=Approval.objects.standing().values("day"))


def waiting_count(group: Group) -> int:
    """How many closed days with lines are not approved."""
    return waiting_days([group]).distinct().count()


def lines_of_day(day: WorkDay) -> QuerySet[HourEntry]:
    """The lines of a day that stand, by person."""
    return HourEntry.objects.standing().filter(day=day).for_list().order_by("member__name", "started_at", "pk")


@dataclass(slots=True)
class Share:
    """Lines and raw minutes."""

    entries: int = 0
    minutes: int = 0


@dataclass(slots=True, kw_only=True)
class EligibleDay:
    """What of one work day a grant can count, counts, and what other grants count of it."""

    day: WorkDay
    unclaimed: Share = field(default_factory=Share)
    here: Share = field(default_factory=Share)
    elsewhere: dict[str, Share] = field(default_factory=dict)  # by the grant's name


def eligible_days(grant: Grant) -> list[EligibleDay]:
    """The work days with hours that fit the grant, the latest first, in three queries."""
    eligible = HourEntry.objects.eligible(grant).order_by()
    rows = eligible.values_list("day", "claim__grant", "claim__grant__name").annotate(Count("pk"), Sum("minutes"))
    found: defaultdict[int, list[tuple[int | None, str | None, Share]]] = defaultdict(list)
    for day, holder, name, entries, minutes in rows:
        found[day].append((holder, name, Share(entries, minutes)))
    shown = []
    for day in WorkDay.objects.filter(pk__in=found).with_stand().order_by("-date", "-pk"):
        line = EligibleDay(day=day)
        for holder, name, share in found[day.pk]:
            if holder is None:
                line.unclaimed = share
            elif holder == grant.pk:
                line.here = share
            else:
                line.elsewhere[name or ""] = share
        shown.append(line)
    return shown


def overlapping(grant: Grant) -> QuerySet[Grant]:
    """Other grants of the group that take hours of the same stands at the same time: each hour counts for one."""
    others = Grant.objects.filter(group=grant.group, stands__in=grant.stands.all()).exclude(pk=grant.pk)
    return others.filter(starts_on__lte=grant.ends_on, ends_on__gte=grant.starts_on).distinct().order_by("name")
