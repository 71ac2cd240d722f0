"""Organizers and coordinators sign in by more than a mailed code, once their days of grace are over.

They open other people's emergency contacts and change rules of safety: who reads their mail must not do so. The setting
SECOND_STEP_DAYS decides for the whole installation; 0, the default of one that is not hosted, asks nobody.
"""

import datetime

from allauth.mfa.models import Authenticator
from django.conf import settings

from reedcrew.people.models import AuditEntry, Member
from reedcrew.people.roles import SECOND_STEP_DEEDS, SECOND_STEP_ROLES, Deed


def second_step_due(member: Member) -> datetime.datetime | None:
    """When the grace of a member without a second step ends, or ended; None where nothing is asked of them.

    It begins with the latest role that they were given, as the record of deeds has it.
    """
    if not settings.SECOND_STEP_DAYS or member.role not in SECOND_STEP_ROLES:
        return None
    kinds = (Authenticator.Type.TOTP, Authenticator.Type.WEBAUTHN)
    if Authenticator.objects.filter(user=member.account_id, type__in=kinds).exists():
        return None
    given = AuditEntry.objects.filter(
        group=member.group_id, subject=f"{Member._meta.label}:{member.pk}", detail__has_key="role"
    )
    since = given.values_list("at", flat=True).first() or member.joined_at
    return since + datetime.timedelta(days=settings.SECOND_STEP_DAYS)


def waits_for_second_step(member: Member, deed: Deed, now: datetime.datetime) -> bool:
    """Whether a deed is closed to a member until they have a second step."""
    if deed not in SECOND_STEP_DEEDS:
        return False
    due = second_step_due(member)
    return due is not None and due <= now
