"""What an organizer decides of a person: role, trained lead, earlier water days, guardian."""

import datetime

from django.db import transaction

from reedcrew.people import queries
from reedcrew.people.errors import ChildNeedsGuardian, GuardianUnfit, LeadNeedsAdult
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Member
from reedcrew.people.roles import Role
from reedcrew.people.services.deeds import changed
from reedcrew.people.services.joining import check_other_organizer, check_role


@transaction.atomic
def set_standing(
    *,
    member: Member,
    role: Role,
    trained_lead: bool,
    earlier_water_days: int,
    guardian: Member | None,
    actor: Account,
    now: datetime.datetime,
) -> Member:
    """Give a person their role, say whether they are a trained lead, confirm the days they worked in water before they
    joined, and enter the guardian of somebody under 18.

    Raises LastOrganizer, RoleNeedsAdult, RoleNeedsAccount, LeadNeedsAdult, GuardianUnfit,
    ChildNeedsGuardian.
    """
    group = lock_group(member.group)
    member = Member.objects.with_profile().get(pk=member.pk)
    today = now.date()
    adult = member.profile.adult_on(today)
    check_role(role=role, adult=adult, has_account=member.account_id is not None)
    if trained_lead and not adult:
        raise LeadNeedsAdult
    if member.role == Role.ORGANIZER and role != Role.ORGANIZER:
        check_other_organizer(group=group, member=member)
    is_new = guardian is not None and guardian.pk != member.guardian_id
    if guardian is not None and (is_new or not adult) and not queries.may_be_guardian_of(guardian, member, today):
        raise GuardianUnfit
    if guardian is None and member.account_id is None and not adult:
        raise ChildNeedsGuardian(name=member.name)

    fresh = {"role": role, "trained_lead": trained_lead, "guardian": guardian}
    fields = sorted(name for name, value in fresh.items() if getattr(member, name) != value)
    for name in fields:
        setattr(member, name, fresh[name])
    member.save(update_fields=fields)
    detail: dict[str, object] = {name: getattr(fresh[name], "pk", fresh[name]) for name in fields}
    if member.profile.earlier_water_days != earlier_water_days:
        member.profile.earlier_water_days = earlier_water_days
        member.profile.save(update_fields=["earlier_water_days", "updated_at"])
        detail["earlier_water_days"] = earlier_water_days
    if detail:
        changed(member=member, actor=actor, now=now, deed="standing changed", **detail)
    return member
