"""Reads of people for one page or one decision. The "may I" functions serve pages and services alike."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.db.models import F, OuterRef, Q, QuerySet, Subquery
from django.utils.formats import number_format
from django.utils.translation import gettext

from reedcrew.people.languages import LANGUAGE_CODES, language_name
from reedcrew.people.models import Account, Group, Member, PolicyChange, PrivateLook, PrivateRecord, Profile, Wish
from reedcrew.people.policy import RULES, Rule, policy_of
from reedcrew.people.roles import Deed
from reedcrew.people.water import QUESTIONS, Question, missing_for_water
from reedcrew.people.words import OWN_GEAR, jacket_bands
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.season import MonthDay
from reedcrew.web.amounts import amount_text, beside
from reedcrew.web.times import day_of_year_text, day_text, moment_text


# --- Who may ---------------------------------------------------------------------------------------------------------
def is_in_care(member: Member, by: Member) -> bool:
    """Whether ``member`` is ``by`` or a child whose guardian ``by`` is."""
    return by.pk in {member.pk, member.guardian_id}


def may_edit_person(member: Member, by: Member) -> bool:
    """Whether ``by`` may answer for ``member``: oneself, one's children; organizers for people without account."""
    if member.group_id != by.group_id or member.left_at is not None or by.left_at is not None:
        return False
    return is_in_care(member, by) or (member.mail_account is None and by.may(Deed.KEEP_PEOPLE))


def may_take_out(member: Member, by: Member) -> bool:
    """Whether ``by`` may take ``member`` out of the group: oneself, one's children; organizers everyone."""
    if member.group_id != by.group_id or member.left_at is not None or by.left_at is not None:
        return False
    return is_in_care(member, by) or by.may(Deed.KEEP_PEOPLE)


def may_see_wishes(member: Member, by: Member) -> bool:
    """Whether ``by`` may read the wishes of ``member``: the asks to be kept apart are private to organizers."""
    return member.group_id == by.group_id and (is_in_care(member, by) or by.may(Deed.KEEP_PEOPLE))


def may_be_guardian(guardian: Member, on: datetime.date) -> bool:
    """Whether a member is present, 18 or older on that day, and in nobody's care."""
    return guardian.left_at is None and guardian.guardian_id is None and guardian.profile.adult_on(on)


def may_be_guardian_of(guardian: Member, member: Member, on: datetime.date) -> bool:
    """Whether ``guardian`` may be entered as the guardian of ``member``."""
    return guardian.group_id == member.group_id and guardian.pk != member.pk and may_be_guardian(guardian, on)


@dataclass(frozen=True, slots=True, kw_only=True)
class LedDay:
    """A work day that somebody leads: its date and today's date, both at the site, and the members who take part."""

    date: datetime.date
    today: datetime.date
    people: frozenset[int]

    @property
    def is_near(self) -> bool:
        """From the day before to the day after."""
        return abs(self.today - self.date) <= datetime.timedelta(days=1)


def may_see_private(member: Member, by: Member, led_day: LedDay | None = None) -> bool:
    """Whether ``by`` may read the emergency contact and health note of ``member``.

    Of the same group only: oneself and guardians; organizers; and who leads a day, from the day before to the day
    after, for the people of that day. ``led_day`` is given by the caller only for a day that ``by`` does lead.
    """
    if member.group_id != by.group_id or by.left_at is not None:
        return False
    if is_in_care(member, by) or by.may(Deed.KEEP_PEOPLE):
        return True
    return led_day is not None and by.may(Deed.SEE_PRIVATE) and led_day.is_near and member.pk in led_day.people


# --- Private records -------------------------------------------------------------------------------------------------
def private_records_for(*, members: Sequence[Member], by: Member, led_day: LedDay | None = None) -> list[PrivateRecord]:
    """The private records among ``members`` that ``by`` may read, in the order given. The only read of that table.

    Call it through services.look_at_private or look_at_private_of_day, which record the look.
    """
    open_to = [member.pk for member in members if may_see_private(member, by, led_day)]
    records = {record.member_id: record for record in PrivateRecord.objects.filter(member__in=open_to)}
    return [records[pk] for pk in open_to if pk in records]


def has_private(member: Member) -> bool:
    """Whether somebody can be called for this person in an emergency. Reads no content of the record."""
    return bool(with_emergency_contact([member.pk]))


def with_emergency_contact(members: Iterable[int]) -> frozenset[int]:
    """For which of these members somebody can be called, by key. Reads no content of the records; one query."""
    records = PrivateRecord.objects.filter(member__in=list(members)).exclude(emergency_phone="")
    return frozenset(records.values_list("member", flat=True))


def looks_at(account: Account) -> QuerySet[PrivateLook]:
    """Who looked at the private records of an account's own memberships and of the children in its care.

    ``by_name`` is the reader's name in that group.
    """
    members = Member.objects.in_care_of_account(account)
    readers = Member.objects.filter(group=OuterRef("member__group"), account=OuterRef("by")).order_by("-pk")
    looks = PrivateLook.objects.filter(member__in=members).select_related("member", "member__group")
    return looks.annotate(by_name=Subquery(readers.values("name")[:1]))


# --- Pages -----------------------------------------------------------------------------------------------------------
def memberships_of(account: Account) -> QuerySet[Member]:
    """The groups that an account is in, by name of the group, with what the first page shows of each."""
    return (
        Member.objects.current()
        .of_account(account)
        .select_related("group", "profile")
        .prefetch_related("children")
        .order_by("group__name", "pk")
    )


def people_of(group: Group, words: str = "") -> QuerySet[Member]:
    """The list of a group's people: present members by name, with profile, those whose name has all the words."""
    return Member.objects.current().filter(group=group).named_like(words).with_profile().order_by("name", "pk")


def person_for(by: Member, pk: int) -> Member | None:
    """A present member that ``by`` may open: staff anyone of the group, others themselves and their children."""
    people = Member.objects.current().filter(group=by.group_id, pk=pk)
    if not by.may(Deed.SEE_PEOPLE):
        people = people.in_care_of(by)
    return people.select_related("group", "profile", "account", "guardian", "guardian__account").first()


def guardians_for(member: Member, on: datetime.date) -> list[Member]:
    """Present adults of the group who may be entered as the guardian of ``member``, by name."""
    candidates = people_of(member.group).filter(guardian=None).exclude(pk=member.pk)
    return [candidate for candidate in candidates if may_be_guardian_of(candidate, member, on)]


def may_be_wished_by(member: Member) -> QuerySet[Member]:
    """Whom a person may name in a wish: present members with an account, and their own guardian or children.

    Other people's children are left out: they are in water beside their guardian only, and their names are no list to
    hand around.
    """
    everyone = Member.objects.current().filter(group=member.group_id).exclude(pk=member.pk)
    nameable = Q(guardian=None) | Q(guardian=member)
    if member.guardian_id is not None:
        nameable |= Q(pk=member.guardian_id)
    return everyone.filter(nameable).order_by("name", "pk")


def wishes_of(member: Member) -> QuerySet[Wish]:
    """What a person asked, by name of the other."""
    return Wish.objects.filter(member=member).select_related("other").order_by("kind", "other__name", "pk")


class Water(StrEnum):
    """Where a person stands towards work in water on a day."""

    READY = "ready"
    INCOMPLETE = "incomplete"
    LAND = "land"


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonFacts:
    """What a page shows of a person on a day. Measures are left out for readers who plan nothing with them."""

    member: Member
    adult: bool
    first_aider: bool
    water: Water
    missing: tuple[Question, ...]
    lines: tuple[tuple[str, str], ...]  # label and text


def facts_of(member: Member, on: datetime.date, by: Member) -> PersonFacts:
    """The facts of a member with its profile loaded, for the reader ``by``."""
    profile = member.profile
    missing = missing_for_water(profile, on)
    water = Water.INCOMPLETE if missing else Water.READY
    return PersonFacts(
        member=member,
        adult=profile.adult_on(on),
        first_aider=profile.first_aider_on(on),
        water=water if profile.water_ready else Water.LAND,
        missing=missing,
        lines=(*_told(member, on), *(_measures(profile) if is_in_care(member, by) or by.may(Deed.PLAN_CREWS) else ())),
    )


def _told(member: Member, on: datetime.date) -> list[tuple[str, str]]:
    profile = member.profile
    not_told = gettext("not told")
    languages = [language_name(code) for code in profile.languages if code in LANGUAGE_CODES]
    gear = [str(label) for item, label in OWN_GEAR.items() if profile.owns(item)]
    lines = [
        (gettext("Age"), gettext("18 or older") if profile.adult_on(on) else gettext("under 18")),
        (gettext("Phone"), profile.phone or not_told),
        (gettext("Address"), member.account.email if member.account else gettext("none")),
        (gettext("Languages"), ", ".join(languages) or not_told),
        (gettext("First-aid certificate"), _certificate(profile, on)),
        (gettext("Own gear"), ", ".join(gear) or gettext("none")),
    ]
    if profile.earlier_water_days:
        lines.append((gettext("Water days before joining"), number_format(profile.earlier_water_days)))
    return lines


def _certificate(profile: Profile, on: datetime.date) -> str:
    if profile.first_aid_until is None:
        return gettext("none")
    text = gettext("until %(day)s") if profile.first_aider_on(on) else gettext("ended on %(day)s")
    return text % {"day": day_text(profile.first_aid_until)}


def _measures(profile: Profile) -> tuple[tuple[str, str], ...]:
    bands = dict(jacket_bands())
    told = {
        "stature_cm": amount_text(profile.stature_cm, "cm") if profile.stature_cm else "",
        "body_mass": bands.get(profile.jacket_class, ""),
        "boot_size": f"EU {number_format(profile.boot_eu, 1 if profile.boot_eu % 1 else 0)}" if profile.boot_eu else "",
        "hand_size": f"{profile.hand_mm} mm" if profile.hand_mm else "",
    }
    return tuple((str(QUESTIONS[field].label), text) for field, text in told.items() if text)


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleState:
    """One rule's value as the policy page shows it. ``changed_by`` is "" while the default holds and never changed."""

    rule: Rule
    default: float | MonthDay
    value: float | MonthDay
    changed_by: str
    changed_at: datetime.datetime | None
    bolder: bool  # the value allows more than the default does

    @property
    def value_text(self) -> str:
        """The value in force, in words."""
        return rule_value_text(self.rule, self.value)

    @property
    def default_text(self) -> str:
        """The default, in words."""
        return rule_value_text(self.rule, self.default)


def rule_value_text(rule: Rule, value: float | MonthDay) -> str:
    """A value of one rule with its unit, in words."""
    if isinstance(value, MonthDay):
        return day_of_year_text(value.month, value.day)
    unit = rule.one if value == 1 and rule.one else rule.unit
    return " ".join(filter(None, [number_format(f"{value:g}"), str(unit)])) + beside(value, str(unit))


def rules_of(group: Group) -> list[RuleState]:
    """Every value that the group may change: default, value in force, and who changed it last and when."""
    policy = policy_of(group)
    latest = {change.name: change for change in PolicyChange.objects.filter(group=group).select_related("changed_by")}
    names = _names_in(group, [change.changed_by_id for change in latest.values()])
    states = []
    for rule in RULES:
        default, value, change = getattr(DEFAULT_POLICY, rule.name), getattr(policy, rule.name), latest.get(rule.name)
        states.append(
            RuleState(
                rule=rule,
                default=default,
                value=value,
                changed_by=names.get(change.changed_by_id, change.changed_by.email) if change else "",
                changed_at=change.changed_at if change else None,
                bolder=bool(rule.safer) and (value < default if rule.safer > 0 else value > default),
            )
        )
    return states


def _names_in(group: Group, accounts: Sequence[int]) -> dict[int, str]:
    named = Member.objects.filter(group=group, account__in=accounts).order_by("joined_at", "pk")
    return {account: name for account, name in named.values_list("account_id", "name") if account is not None}


def rules_version(group: Group) -> int:
    """A number that rises with each change of a rule; 0 before the first."""
    return PolicyChange.objects.filter(group=group).order_by("-pk").values_list("pk", flat=True).first() or 0


def rules_last_change(group: Group) -> str:
    """Who changed a rule last, and when (UTC), in words; "" before the first change."""
    change = PolicyChange.objects.filter(group=group).select_related("changed_by").order_by("-pk").first()
    if change is None:
        return ""
    name = _names_in(group, [change.changed_by_id]).get(change.changed_by_id, change.changed_by.email)
    return gettext("%(name)s, %(when)s") % {"name": name, "when": moment_text(change.changed_at, "UTC")}


def member_name(*, group: str, account: str) -> Subquery:
    """Annotation: the name by which a group knows an account, each given by its path from the annotated row.

    Null for an account that never was a member. A page shows it instead of an address.
    """
    known = Member.objects.filter(group=OuterRef(group), account=OuterRef(account))
    return Subquery(known.order_by(F("left_at").desc(nulls_first=True), "-pk").values("name")[:1])
