"""A group's values for the rules of the trade."""

import dataclasses
import datetime
from typing import Any

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account, Group, PolicyChange
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.season import MonthDay


def policy_of(group: Group) -> Policy:
    """The defaults of trade.policy with this group's changes applied, oldest first."""
    changes: dict[str, Any] = {
        change.name: MonthDay(*change.value) if isinstance(change.value, list) else change.value
        for change in group.policy_changes.all()
    }
    return dataclasses.replace(DEFAULT_POLICY, **changes)


@transaction.atomic
def change_policy(*, group: Group, actor: Account, now: datetime.datetime, **values: Any) -> Policy:
    """Record new values for some of the group's rules and return the whole policy.

    Raises ValueError for a name that Policy does not have. A value equal to the one in force leaves no row.
    """
    known = {field.name for field in dataclasses.fields(Policy)}
    if unknown := sorted(set(values) - known):
        raise ValueError(f"no such rule: {', '.join(unknown)}")
    before = policy_of(group)
    for name, value in values.items():
        if value != getattr(before, name):
            PolicyChange.objects.create(group=group, name=name, value=value, changed_by=actor, changed_at=now)
            record(group=group, actor=actor, at=now, deed="rule changed", subject=group, name=name, value=value)
    return policy_of(group)
