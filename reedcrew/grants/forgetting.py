"""What the ledger keeps of people whom a group has forgotten: hours stay under the code, words lose the name."""

from django.db.models import F, Q

from reedcrew.grants.models import (
    Approval,
    EarlierBatch,
    EarlierLine,
    Family,
    Grant,
    HourEntry,
    HourlyRate,
    Release,
)
from reedcrew.people.models import Member
from reedcrew.people.services import scrub


def forget_member(*, member: Member, name: str) -> None:
    """Put the person's code where words of the group's ledger, grants and earlier seasons name them.

    Hours stay, and so do files that show them, such as a receipt of travel: a funder may ask for those for years.
    """
    group = {"group": member.group_id}
    # A line of the ledger is never changed in what it counts; the base manager lets only its words be put right.
    for column in ("reason", "evidence"):
        scrub(HourEntry._base_manager.filter(**group), column, name, member.code)
    scrub(Release.objects.filter(grant__group=member.group_id), "reason", name, member.code)
    approvals = Approval.objects.filter(day__stand__site__group=member.group_id)
    scrub(approvals, "reopened_reason", name, member.code)
    scrub(HourlyRate.objects.filter(**group), "withdrawn_reason", name, member.code)
    for notes in (Grant.objects.filter(**group), Family.objects.filter(**group)):
        scrub(notes, "note", name, member.code)
    scrub(EarlierBatch.objects.filter(**group), "file_name", name, member.code)
    lines = EarlierLine.objects.filter(**group)
    lines.filter(Q(member=member) | Q(name__iexact=name)).update(name=F("code"))
    scrub(lines, "note", name, member.code)
