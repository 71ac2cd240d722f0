"""What the fieldbook keeps of people whom a group has forgotten: entries stay under the code, words lose the name."""

import json
from collections.abc import Mapping
from typing import Any

from reedcrew.fieldbook.models import (
    Attendance,
    BriefingHeard,
    DayPhoto,
    HeadCheck,
    Incident,
    Load,
    PhoneOfDay,
    Submission,
    Tally,
    WaterStint,
)
from reedcrew.people.models import Account, Member
from reedcrew.people.services import scrub

ENTRIES = (Attendance, BriefingHeard, DayPhoto, HeadCheck, Incident, Load, Tally, WaterStint)
# What a newcomer told of themselves at the landing, and what stands there once they are forgotten.
TOLD_AT_THE_LANDING: Mapping[str, Any] = {"email": "", "born_on": None, "emergency_name": "", "emergency_phone": ""}


def forget_member(*, member: Member, account: Account | None, name: str) -> None:
    """Put the person's code where entries of the group name them; what they told of themselves at the landing goes.

    Incidents stay as they were written, encrypted: who was hurt on which day may have to be answered for.
    """
    of_group = {"day__stand__site__group": member.group_id}
    for model in ENTRIES:
        scrub(model._base_manager.filter(**of_group), "struck_reason", name, member.code)
    for column in ("place", "moved_on_to"):
        scrub(Load._base_manager.filter(**of_group), column, name, member.code)
    phones = PhoneOfDay.objects.filter(**of_group)
    scrub(phones, "name", name, member.code)
    if account is not None:
        phones.filter(account=account).update(name="")
    _forget_sent(member, name)


def _forget_sent(member: Member, name: str) -> None:
    """Take the person out of entries as they were sent. Their digests stay, so that a phone's repeat is known."""
    rows = Submission.objects.filter(day__stand__site__group=member.group_id)
    scrub(rows, "settled_note", name, member.code)
    for each in rows.exclude(kind=Submission.Kind.INCIDENT).order_by("pk").iterator():
        before = each.data, each.values, each.private
        each.data = _without(each.data, name, member.code)
        each.values = _without(each.values, name, member.code)
        if each.private:
            told = _without(json.loads(each.private), name, member.code)
            if each.kind == Submission.Kind.WALK_UP and each.member_id == member.pk:
                told |= {**TOLD_AT_THE_LANDING, "name": member.code}
            each.private = json.dumps(told)
        if (each.data, each.values, each.private) != before:
            each.save(update_fields=["data", "values", "private"])


def _without(said: Any, name: str, code: str) -> Any:
    """The same JSON value with the code in the place of the name, wherever it stands."""
    if isinstance(said, str):
        return said.replace(name, code)
    if isinstance(said, list):
        return [_without(each, name, code) for each in said]
    if isinstance(said, dict):
        return {key: _without(each, name, code) for key, each in said.items()}
    return said
