"""What one page of help says to one reader: every value with its default and with those of the reader's groups."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib.auth.models import AnonymousUser

from reedcrew.help.glossary import GLOSSARY, Word
from reedcrew.help.shapes import Section, Topic
from reedcrew.people.models import Account, Group, Member
from reedcrew.people.policy import RULES, Rule, policy_of
from reedcrew.people.queries import rule_value_text
from reedcrew.trade.policy import DEFAULT_POLICY, Policy

_RULES = {rule.name: rule for rule in RULES}


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupValue:
    """The value in force in a group of the reader's. ``own``: another one than the default."""

    group: Group
    text: str
    own: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyValue:
    """A value that a group may change."""

    rule: Rule
    default: str
    groups: tuple[GroupValue, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownSection:
    """A section with the values that it has for this reader."""

    section: Section
    policy: tuple[PolicyValue, ...]


def sections_for(topic: Topic, reader: Account | AnonymousUser) -> list[ShownSection]:
    """The sections of a page. Asks for the reader's groups once, and only where a value may differ among groups."""
    asked = any(section.policy for section in topic.sections) and reader.is_authenticated
    policies = _policies_of(reader) if asked and isinstance(reader, Account) else []
    return [
        ShownSection(section=section, policy=tuple(_policy_value(name, policies) for name in section.policy))
        for section in topic.sections
    ]


def words_in_order() -> list[Word]:
    """The glossary in the order of the reader's language, where an accent makes no other letter."""

    def without_accents(each: Word) -> str:
        letters = unicodedata.normalize("NFKD", str(each.word).casefold())
        return "".join(letter for letter in letters if not unicodedata.combining(letter))

    return sorted(GLOSSARY, key=without_accents)


def _policies_of(reader: Account) -> list[tuple[Group, Policy]]:
    members = Member.objects.current().of_account(reader).select_related("group")
    memberships = members.prefetch_related("group__policy_changes").order_by("group__name", "group_id")
    return [(member.group, policy_of(member.group)) for member in memberships]


def _policy_value(name: str, policies: Sequence[tuple[Group, Policy]]) -> PolicyValue:
    rule, default = _RULES[name], getattr(DEFAULT_POLICY, name)
    groups = tuple(
        GroupValue(group=group, text=rule_value_text(rule, value), own=value != default)
        for group, policy in policies
        for value in [getattr(policy, name)]
    )
    return PolicyValue(rule=rule, default=rule_value_text(rule, default), groups=groups)
