"""Coming into a group and leaving it."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from reedcrew.people import queries, signals
from reedcrew.people.errors import (
    AlreadyMember,
    BirthDateNeeded,
    ChildIsAdult,
    ConsentNeeded,
    GuardianUnfit,
    LastOrganizer,
    LinesRefused,
    NameTaken,
    PeopleError,
    RoleNeedsAccount,
    RoleNeedsAdult,
)
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group, Member, PrivateRecord, Profile
from reedcrew.people.roles import Role
from reedcrew.people.services.accounts import account_for
from reedcrew.people.services.deeds import adult_by, noted


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPerson:
    """Somebody to enter as a volunteer; ``email`` is empty for somebody without mail."""

    name: str
    email: str = ""


def enter(
    *,
    group: Group,
    account: Account | None,
    name: str,
    role: Role,
    adult: bool,
    born_on: datetime.date | None,
    actor: Account,
    now: datetime.datetime,
    guardian: Member | None = None,
) -> Member:
    """Make a member with an empty profile and private record, or open again the membership of one who had left.

    A date of birth that the group knows already holds. Inside the caller's transaction, with the group locked. Raises
    AgeContradicts, BirthDateImpossible.
    """
    former = Member.objects.former(group, account) if account else None
    if former is not None and born_on is None:
        born_on = former.profile.born_on
    adult = adult_by(adult=adult, born_on=born_on, today=now.date())
    if former is None:
        member = Member.objects.create(
            group=group, account=account, name=name, role=role, guardian=guardian, joined_at=now
        )
        Profile.objects.create(member=member, adult=adult, born_on=born_on)
        PrivateRecord.objects.create(member=member)
    else:
        member = former
        member.name, member.role, member.left_at, member.trained_lead = name, role, None, False
        member.save(update_fields=["name", "role", "left_at", "trained_lead"])
        Profile.objects.filter(member=member).update(adult=adult, born_on=born_on, updated_at=now)
    noted(member=member, actor=actor, now=now, deed="member joined", role=role, again=former is not None)
    signals.member_joined.send(sender=Member, member=member, actor=actor, now=now)
    return member


@transaction.atomic
def join_group(
    *,
    group: Group,
    account: Account,
    name: str,
    adult: bool,
    born_on: datetime.date | None,
    now: datetime.datetime,
) -> Member:
    """Take a person who signs up for the first time into the group as a volunteer.

    Somebody who is in the group already stays as they are, so that a double click does no harm. ``adult`` false without
    a date of birth counts as under 18. Raises AgeContradicts, BirthDateImpossible.
    """
    group = lock_group(group)
    if present := Member.objects.current().of_account(account).filter(group=group).first():
        return present
    return enter(
        group=group,
        account=account,
        name=name,
        role=Role.VOLUNTEER,
        adult=adult,
        born_on=born_on,
        actor=account,
        now=now,
    )


@transaction.atomic
def add_member(
    *, group: Group, email: str, name: str, role: Role, adult: bool, actor: Account, now: datetime.datetime
) -> Member:
    """Enter a person by name, with the account of their address; without one (``email`` empty) as a volunteer.

    Raises AlreadyMember, NameTaken, RoleNeedsAccount, RoleNeedsAdult.
    """
    group = lock_group(group)
    check_role(role=role, adult=adult, has_account=bool(email))
    account = account_for(email=email, now=now) if email else None
    if account and (present := Member.objects.current().of_account(account).filter(group=group).first()):
        raise AlreadyMember(name=present.name)
    if account is None and Member.objects.current().filter(group=group, account=None, name__iexact=name).exists():
        raise NameTaken(name=name)
    return enter(group=group, account=account, name=name, role=role, adult=adult, born_on=None, actor=actor, now=now)


@transaction.atomic
def add_people(
    *, group: Group, people: Mapping[int, NewPerson], adult: bool, actor: Account, now: datetime.datetime
) -> list[Member]:
    """Enter several volunteers at once, by the number of their line: all of them, or none.

    Raises LinesRefused with what add_member objects to each line.
    """
    group = lock_group(group)
    added, refusals = [], {}
    for line, person in people.items():
        facts = {"email": person.email, "name": person.name, "role": Role.VOLUNTEER, "adult": adult}
        try:
            added.append(add_member(group=group, actor=actor, now=now, **facts))  # type: ignore[arg-type]  # by name
        except PeopleError as error:
            refusals[line] = error
    if refusals:
        raise LinesRefused(refusals)
    return added


def check_role(*, role: Role, adult: bool, has_account: bool) -> None:
    """Raises RoleNeedsAdult or RoleNeedsAccount: only volunteers may be under 18 or without an address."""
    if role != Role.VOLUNTEER:
        if not has_account:
            raise RoleNeedsAccount(role=role.label)
        if not adult:
            raise RoleNeedsAdult(role=role.label)


@transaction.atomic
def add_child(
    *,
    guardian: Member,
    name: str,
    born_on: datetime.date | None,
    consent: bool,
    actor: Account,
    now: datetime.datetime,
) -> Member:
    """Enter a child of ``guardian``, who has agreed that it takes part; the agreement is recorded: who gave it, when.

    Raises ConsentNeeded, BirthDateNeeded, BirthDateImpossible, ChildIsAdult, or GuardianUnfit when the guardian is not
    a present adult member without a guardian of their own. The same child is entered once.
    """
    group = lock_group(guardian.group)
    today = now.date()
    if not consent:
        raise ConsentNeeded
    if born_on is None:
        raise BirthDateNeeded
    if not queries.may_be_guardian(guardian, today):
        raise GuardianUnfit
    if adult_by(adult=False, born_on=born_on, today=today):
        raise ChildIsAdult
    if entered := guardian.children.current().filter(name=name, profile__born_on=born_on).first():
        return entered
    child = enter(
        group=group,
        account=None,
        name=name,
        role=Role.VOLUNTEER,
        adult=False,
        born_on=born_on,
        actor=actor,
        now=now,
        guardian=guardian,
    )
    noted(member=child, actor=actor, now=now, deed="guardian agreed", guardian=guardian.pk)
    return child


@transaction.atomic
def leave(*, member: Member, actor: Account, now: datetime.datetime) -> tuple[Member, ...]:
    """Take a member out of the group, with the children who are there only through them; returns all who left.

    Hours and past days keep their names. The emergency contact and the health note are erased. Somebody who has left
    already stays so. Raises LastOrganizer.
    """
    group = lock_group(member.group)
    member.refresh_from_db()
    if member.left_at is not None:
        return ()
    if member.role == Role.ORGANIZER:
        check_other_organizer(group=group, member=member)
    leaving = (member, *member.children.current().filter(account=None))
    for person in leaving:
        person.left_at = now
        person.save(update_fields=["left_at"])
        PrivateRecord.objects.filter(member=person).update(
            emergency_name="", emergency_phone="", health_note="", updated_at=now
        )
        noted(member=person, actor=actor, now=now, deed="member left")
        signals.member_left.send(sender=Member, member=person, actor=actor, now=now)
    return leaving


def check_other_organizer(*, group: Group, member: Member) -> None:
    """Raises LastOrganizer unless another present organizer of the group can sign in."""
    others = Member.objects.current().filter(group=group, role=Role.ORGANIZER, account__is_active=True)
    if not others.exclude(pk=member.pk).exists():
        raise LastOrganizer(name=member.name or _("This person"))
