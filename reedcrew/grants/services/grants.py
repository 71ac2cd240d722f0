"""Recording grants and changing what is said of them."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from reedcrew.grants import errors
from reedcrew.grants.models import Grant
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stands.models import Stand


@dataclass(frozen=True, slots=True, kw_only=True)
class GrantFacts:
    """What a coordinator says of a grant. Both days belong to the period."""

    name: str
    funder: str
    number: str
    starts_on: datetime.date
    ends_on: datetime.date
    stands: Sequence[Stand]
    note: str = ""


@transaction.atomic
def record_grant(*, group: Group, facts: GrantFacts, actor: Account, now: datetime.datetime) -> Grant:
    """Write down a new grant. Raises NameTaken."""
    return _write(Grant(group=group), facts, "grant recorded", actor, now)


@transaction.atomic
def change_grant(*, grant: Grant, facts: GrantFacts, actor: Account, now: datetime.datetime) -> Grant:
    """Change what is said of a grant. Hours that were claimed stay claimed. Raises NameTaken."""
    return _write(grant, facts, "grant changed", actor, now)


# --- Private ---------------------------------------------------------------------------------------------------------


def _write(grant: Grant, facts: GrantFacts, deed: str, actor: Account, now: datetime.datetime) -> Grant:
    lock_group(grant.group)
    if Grant.objects.filter(group=grant.group, name=facts.name).exclude(pk=grant.pk).exists():
        raise errors.NameTaken
    grant.name, grant.funder, grant.number, grant.note = facts.name, facts.funder, facts.number, facts.note
    grant.starts_on, grant.ends_on = facts.starts_on, facts.ends_on
    grant.save()
    grant.stands.set(facts.stands)
    record(group=grant.group, actor=actor, at=now, deed=deed, subject=grant)
    return grant
