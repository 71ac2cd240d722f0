"""What surveys do when the group forgets a person."""

from typing import Any

from reedcrew.people.models import Member
from reedcrew.people.services import scrub
from reedcrew.stands.models import IdentificationCheck, IdentificationDecision, Survey


def on_member_erased(sender: object, *, member: Member, name: str, **said: Any) -> None:
    """Put the person's code where a survey or a check names who counted or was asked."""
    scrub(Survey.objects.filter(stand__site__group=member.group), "counted_by", name, member.code)
    of_group = {"stand__site__group": member.group}
    scrub(IdentificationCheck.objects.filter(**of_group), "asked_name", name, member.code)
    scrub(IdentificationDecision.objects.filter(**of_group), "authority_name", name, member.code)
