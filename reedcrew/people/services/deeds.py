"""What every change to the people of a group begins and ends with."""

import datetime

from reedcrew.people import signals
from reedcrew.people.audit import record
from reedcrew.people.errors import AgeContradicts, BirthDateImpossible
from reedcrew.people.models import Account, Member, Profile

OLDEST_YEARS = 120  # what a date of birth can mean (convention)


def changed(*, member: Member, actor: Account | None, now: datetime.datetime, deed: str, **detail: object) -> None:
    """Record a change of a member and tell the apps whose plans rest on it."""
    noted(member=member, actor=actor, now=now, deed=deed, **detail)
    signals.member_changed.send(sender=Member, member=member, actor=actor, now=now)


def noted(
    *,
    member: Member,
    actor: Account | None,
    now: datetime.datetime,
    deed: str,
    **detail: object,
) -> None:
    """Record a deed about a member that no plan rests on."""
    record(group=member.group, actor=actor, at=now, deed=deed, subject=member, **detail)


def check_birth_date(born_on: datetime.date | None, today: datetime.date) -> None:
    """Raises BirthDateImpossible for a day in the future or more than 120 years ago."""
    if born_on is not None and not (today.year - OLDEST_YEARS <= born_on.year and born_on <= today):
        raise BirthDateImpossible(years=OLDEST_YEARS)


def adult_by(*, adult: bool, born_on: datetime.date | None, today: datetime.date) -> bool:
    """Whether a person who says so and was born then is 18 or older today.

    Raises AgeContradicts, BirthDateImpossible.
    """
    check_birth_date(born_on, today)
    by_date = Profile(adult=adult, born_on=born_on).adult_on(today)
    if adult and not by_date:
        raise AgeContradicts
    return by_date
