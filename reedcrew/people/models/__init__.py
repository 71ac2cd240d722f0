"""Accounts, groups, the people of a group, what they told, and the record of deeds."""

from reedcrew.people.models.account import Account, Units
from reedcrew.people.models.audit import AuditEntry, PrivateLook
from reedcrew.people.models.group import Group, PolicyChange
from reedcrew.people.models.member import (
    ADULT_AGE_YEARS,
    CODE_ALPHABET,
    Member,
    MemberQuerySet,
    PrivateRecord,
    Profile,
    Wish,
)

__all__ = [
    "ADULT_AGE_YEARS",
    "CODE_ALPHABET",
    "Account",
    "AuditEntry",
    "Group",
    "Member",
    "MemberQuerySet",
    "PolicyChange",
    "PrivateLook",
    "PrivateRecord",
    "Profile",
    "Units",
    "Wish",
]
