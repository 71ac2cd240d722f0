"""Single lines of the ledger: what stands in the place of one, what it meets in time, who approved its day."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, QuerySet

from reedcrew.grants.models import Approval, Claim, HourEntry, Release
from reedcrew.people.models import Account, Group, Member
from reedcrew.people.queries import member_name
from reedcrew.workdays.models import WorkDay


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryHistory:
    """One line and all that was said of it: the chain of corrections, approvals of its day, claim and releases."""

    chain: list[HourEntry]  # the first entry first, the one that stands last
    approvals: list[Approval]
    claim: Claim | None
    releases: list[Release]

    @property
    def standing(self) -> HourEntry:
        return self.chain[-1]

    @property
    def approval(self) -> Approval | None:
        """The approval that locks the day, or None."""
        return next((each for each in self.approvals if each.reopened_at is None), None)


def name_of(account: Account, group: Group) -> str:
    """The name by which a group knows an account; its address where it never was a member."""
    known = Member.objects.filter(group=group, account=account).order_by(F("left_at").desc(nulls_first=True), "-pk")
    return known.values_list("name", flat=True).first() or account.email


def approval_of(day: WorkDay) -> Approval | None:
    """The approval that locks the day, or None."""
    return Approval.objects.standing().filter(day=day).select_related("approved_by").first()


def chain_of(entry: HourEntry) -> list[HourEntry]:
    """The line, those that it corrects and those that correct it, the first entry first."""
    family = HourEntry.objects.filter(group=entry.group_id, day=entry.day_id, member=entry.member_id).for_list()
    family = family.annotate(author=member_name(group="group", account="entered_by"))
    lines = {line.pk: line for line in family}
    next_of = {line.corrects_id: line for line in lines.values() if line.corrects_id}
    first = lines[entry.pk]
    while first.corrects_id:
        first = lines[first.corrects_id]
    chain = [first]
    while chain[-1].pk in next_of:
        chain.append(next_of[chain[-1].pk])
    return chain


def history_of(entry: HourEntry) -> EntryHistory:
    """All that was said of a line, with names, in a number of queries that does not grow with it."""
    chain = chain_of(entry)
    keys = [line.pk for line in chain]
    group = "entry__group"
    claims = Claim.objects.filter(entry__in=keys).select_related("grant__family")
    releases = Release.objects.filter(entry__in=keys).select_related("grant")
    return EntryHistory(
        chain=chain,
        approvals=approvals_of(entry.day),
        claim=claims.annotate(claimer=member_name(group=group, account="claimed_by")).first(),
        releases=list(
            releases.annotate(
                claimer=member_name(group=group, account="claimed_by"),
                releaser=member_name(group=group, account="released_by"),
            )
        ),
    )


def approvals_of(day: WorkDay) -> list[Approval]:
    """Every approval of a day with the names of who gave it and who took it back, the earliest first."""
    group = "day__stand__site__group"
    return list(
        day.approvals.annotate(
            approver=member_name(group=group, account="approved_by"),
            reopener=member_name(group=group, account="reopened_by"),
        )
    )


def meeting(
    members: Iterable[Member], started_at: datetime.datetime, ended_at: datetime.datetime
) -> QuerySet[HourEntry]:
    """Standing lines of these people that share time with a span. Spans that only touch do not meet."""
    lines = HourEntry.objects.filter(member__in=list(members)).standing()
    return lines.filter(started_at__lt=ended_at, ended_at__gt=started_at).exclude(minutes=0)
