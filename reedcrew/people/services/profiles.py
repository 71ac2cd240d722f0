"""What a person, their guardian, or for a person without account an organizer, tells of a volunteer."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from reedcrew.people.errors import BirthDateNeeded, MinorNeedsGuardian, NoJacketSoLight
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Member, Profile
from reedcrew.people.roles import Role
from reedcrew.people.services.deeds import adult_by, changed
from reedcrew.people.services.joining import check_role
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.sizes import JACKET_CLASSES


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """The answers to the questions for water work; None is not told. ``too_light``: below every jacket class."""

    stature_cm: int | None = None
    jacket_class: JacketClass | None = None
    too_light: bool = False
    boot_eu: Decimal | None = None
    hand_mm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileAnswers:
    """One filled-in profile. ``measures`` None: the questions for water work were not asked, what is known stays."""

    name: str
    adult: bool
    born_on: datetime.date | None = None
    languages: frozenset[str] = frozenset()  # ISO 639-1
    phone: str = ""
    first_aid_until: datetime.date | None = None
    own_gear: frozenset[Item] = frozenset()
    water_ready: bool = False
    measures: Measures | None = None


@transaction.atomic
def save_profile(*, member: Member, answers: ProfileAnswers, actor: Account, now: datetime.datetime) -> Profile:
    """Keep the answers, all or none; unanswered questions are allowed. The record of deeds names the
    changed fields only.

    Raises what contradicts itself: AgeContradicts, BirthDateImpossible, BirthDateNeeded (a child), MinorNeedsGuardian,
    NoJacketSoLight, RoleNeedsAdult (a role that only adults have).
    """
    lock_group(member.group)
    member = Member.objects.with_profile().get(pk=member.pk)
    adult = adult_by(adult=answers.adult, born_on=answers.born_on, today=now.date())
    _check(member, answers, adult)

    profile = member.profile
    fresh: dict[str, object] = {
        "adult": adult,
        "born_on": answers.born_on,
        "languages": sorted(answers.languages),
        "phone": answers.phone,
        "first_aid_until": answers.first_aid_until,
        "own_gear": sorted(item.value for item in answers.own_gear),
        "water_ready": answers.water_ready,
    }
    if answers.measures is not None:
        fresh |= {
            "stature_cm": answers.measures.stature_cm,
            "jacket_class": answers.measures.jacket_class or "",
            "boot_eu": answers.measures.boot_eu,
            "hand_mm": answers.measures.hand_mm,
        }
    fields = sorted(name for name, value in fresh.items() if getattr(profile, name) != value)
    for name in fields:
        setattr(profile, name, fresh[name])
    if fields:
        profile.save(update_fields=[*fields, "updated_at"])
    if member.name != answers.name:
        member.name = answers.name
        member.save(update_fields=["name"])
        fields.append("name")
    if fields:
        changed(member=member, actor=actor, now=now, deed="profile changed", fields=fields)
    return profile


def _check(member: Member, answers: ProfileAnswers, adult: bool) -> None:
    if member.account_id is None and member.guardian_id is not None and answers.born_on is None:
        raise BirthDateNeeded
    check_role(role=Role(member.role), adult=adult, has_account=member.account_id is not None)
    if answers.water_ready and not adult and member.guardian_id is None:
        raise MinorNeedsGuardian
    if answers.water_ready and answers.measures is not None and answers.measures.too_light:
        raise NoJacketSoLight(kg=JACKET_CLASSES[-1][0])
