"""Forgetting people: what is personal goes, hours and stems stay under the code of a person."""

import datetime
from typing import Any

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.apps import apps
from django.contrib.sessions.models import Session
from django.db import models, transaction
from django.db.models import F, Q, Value
from django.db.models.functions import Replace

from reedcrew.people import signals
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Member, PrivateLook, PrivateRecord, Profile, Wish
from reedcrew.people.services.deeds import noted
from reedcrew.people.services.joining import leave

ERASED_DOMAIN = "erased.invalid"  # no mail reaches it (RFC 2606)


def erased_address(code: str) -> str:
    """What stands where the address of somebody stood whom the site has forgotten."""
    return f"{code.lower()}@{ERASED_DOMAIN}"


@transaction.atomic
def erase_member(*, member: Member, actor: Account, now: datetime.datetime) -> tuple[Member, ...]:
    """Take a member out of the group and forget them, with the children who are there only through them.

    Their name becomes their code, under which hours, stems and past days stay; profile, private record, wishes, looks
    at them, and mails from and to them go. Mails that still wait to be sent, such as the cancellation of a coming day,
    go once they are sent (invites.retention). Somebody who is erased already stays so. Raises LastOrganizer.
    """
    lock_group(member.group)
    member.refresh_from_db()
    if member.erased_at is not None:
        return ()
    leave(member=member, actor=actor, now=now)
    member.refresh_from_db()
    forgotten = (member, *member.children.filter(account=None, left_at__isnull=False))
    for person in reversed(forgotten):
        _forget(person, actor, now)
    return forgotten


def _forget(member: Member, actor: Account, now: datetime.datetime) -> None:
    name, account = member.name, member.account
    addresses = addresses_of(account) if account else frozenset[str]()
    Profile.objects.filter(member=member).delete()
    Profile.objects.create(member=member)
    PrivateRecord.objects.filter(member=member).delete()
    PrivateRecord.objects.create(member=member)
    Wish.objects.filter(Q(member=member) | Q(other=member)).delete()
    PrivateLook.objects.filter(member=member).delete()
    scrub_rows_of(member, name)
    # Hours of children who stay, under a guardian of their own or none, keep their names; only the tie goes.
    member.children.update(guardian=None)
    member.name, member.account, member.guardian, member.erased_at = member.code, None, None, now
    member.trained_lead = False
    member.save(update_fields=["name", "account", "guardian", "erased_at", "trained_lead"])
    noted(member=member, actor=actor, now=now, deed="member erased")
    signals.member_erased.send(sender=Member, member=member, account=account, name=name, addresses=addresses, now=now)


def addresses_of(account: Account) -> frozenset[str]:
    """Every address of an account, in lower case."""
    known = EmailAddress.objects.filter(user=account).values_list("email", flat=True)
    return frozenset(address.lower() for address in (account.email, *known))


def scrub_rows_of(member: Member, name: str) -> None:
    """Put the code in the place of the whole name in every text of rows that belong to the member.

    Such a text is the reason of a correction or of a struck entry: the row must stay, and may name the person.
    """
    for model in apps.get_models():
        if not model.__module__.startswith("reedcrew.") or model is Member:
            continue
        columns = [field for field in model._meta.concrete_fields if is_text(field)]
        owners = [field for field in model._meta.concrete_fields if field.related_model is Member]
        if not columns or not owners:
            continue
        theirs = Q(*((owner.name, member) for owner in owners), _connector=Q.OR)
        for column in columns:
            scrub(model._base_manager.filter(theirs), column.name, name, member.code)


def is_text(field: "models.Field[Any, Any]") -> bool:
    """Whether a column holds words that people wrote."""
    return isinstance(field, models.CharField | models.TextField) and not field.choices and not field.unique


def scrub(rows: "models.QuerySet[Any]", column: str, name: str, code: str) -> int:
    """Put the code in the place of the name in one text column; the number of rows that held it."""
    found = rows.filter(**{f"{column}__contains": name})
    return found.update(**{column: Replace(F(column), Value(name), Value(code))})


@transaction.atomic
def erase_account(*, account: Account, now: datetime.datetime) -> None:
    """Forget a person in every group, and give up the account: nobody signs in with it again.

    What they decided and entered for their groups stays, by an account without an address. Raises LastOrganizer.
    """
    account = Account.objects.select_for_update(no_key=True).get(pk=account.pk)
    if account.erased_at is not None:
        return
    addresses = addresses_of(account)
    memberships = list(Member.objects.of_account(account).select_related("group").order_by("group", "pk"))
    for member in memberships:
        erase_member(member=member, actor=account, now=now)
    sessions = UserSession.objects.filter(user=account)
    Session.objects.filter(session_key__in=list(sessions.values_list("session_key", flat=True))).delete()
    sessions.delete()
    Authenticator.objects.filter(user=account).delete()
    EmailAddress.objects.filter(user=account).delete()
    account.email, account.erased_at = erased_address(f"account-{account.pk}"), now
    account.is_active = account.is_operator = False
    account.last_login = None
    account.save(update_fields=["email", "erased_at", "is_active", "is_operator", "last_login"])
    signals.account_erased.send(sender=Account, account=account, addresses=addresses, now=now)
