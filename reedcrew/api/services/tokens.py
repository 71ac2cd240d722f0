"""Making tokens, knowing them again, and ending them."""

import datetime
import hashlib
import secrets
import uuid
from collections.abc import Collection
from dataclasses import dataclass

from django.db import transaction

from reedcrew.api import errors
from reedcrew.api.models import ApiToken
from reedcrew.api.scopes import NEEDS, Scope
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Member
from reedcrew.people.roles import Deed
from reedcrew.people.second_step import waits_for_second_step

TOKEN_OCTETS = 32  # 256 random bits
BEGIN = "reedcrew_"  # so that a token that got somewhere is known as one
TOKENS_MOST = 50  # of one group at once (convention)
ENDING = 4  # signs of a token that its list shows; the other bits are enough


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeToken:
    """A token as it was just made. ``secret`` is None where the same form had made it before: it is told once."""

    token: ApiToken
    secret: str | None


@transaction.atomic
def make_token(
    *,
    member: Member,
    name: str,
    scopes: Collection[Scope],
    expires_at: datetime.datetime,
    submission: uuid.UUID,
    now: datetime.datetime,
) -> MadeToken:
    """Make a token that reads what its maker lets it, until it expires.

    Raises NoScope, NamesOfNobody, OutlinesOfNothing, ScopeNotYours, TooManyTokens.
    """
    group = lock_group(member.group)
    made = ApiToken.objects.of_group(group).filter(submission=submission, member=member).first()
    if made is not None:
        return MadeToken(token=made, secret=None)
    _ask_sensible(member, scopes)
    alive = ApiToken.objects.of_group(group).standing().filter(expires_at__gt=now)
    if alive.count() >= TOKENS_MOST:
        raise errors.TooManyTokens(most=TOKENS_MOST)
    secret = BEGIN + secrets.token_urlsafe(TOKEN_OCTETS)
    token = ApiToken.objects.create(
        group=group,
        member=member,
        name=name,
        scopes=[scope.value for scope in Scope if scope in scopes],
        digest=digest_of(secret),
        ending=secret[-ENDING:],
        made_at=now,
        expires_at=expires_at,
        submission=submission,
    )
    record(group=group, actor=member.account, at=now, deed="token made", subject=token, scopes=token.scopes)
    return MadeToken(token=token, secret=secret)


@transaction.atomic
def revoke_token(*, token: ApiToken, actor: Account, now: datetime.datetime) -> ApiToken:
    """End a token at once and for good; again changes nothing."""
    token = ApiToken.objects.select_for_update(no_key=True, of=("self",)).select_related("group").get(pk=token.pk)
    if token.revoked_at is None:
        token.revoked_at, token.revoked_by = now, actor
        token.save(update_fields=["revoked_at", "revoked_by"])
        record(group=token.group, actor=actor, at=now, deed="token revoked", subject=token)
    return token


@transaction.atomic
def end_tokens_of(*, member: Member, actor: Account | None, now: datetime.datetime) -> None:
    """Revoke the tokens of a member that a change of their role or leaving the group has closed, for good."""
    for token in ApiToken.objects.standing().filter(member=member).select_related("group").order_by("pk"):
        if _may_keep(member, token):
            continue
        token.revoked_at, token.revoked_by = now, actor
        token.save(update_fields=["revoked_at", "revoked_by"])
        record(group=token.group, actor=actor, at=now, deed="token revoked", subject=token, with_its_maker=True)


def forget_tokens_of(*, member: Member) -> None:
    """Delete the tokens of somebody whom the group forgets; that they were made stays in the record of deeds."""
    ApiToken.objects.filter(member=member).delete()


def holder_of(secret: str, now: datetime.datetime) -> ApiToken | None:
    """The token that was shown, with its group and maker; None for every one that does not hold, whyever.

    It holds while it is neither revoked nor expired and its maker could make it again.
    """
    found = (
        ApiToken.objects.standing()
        .filter(digest=digest_of(secret), expires_at__gt=now)
        .select_related("group", "member__account", "member__group")
        .first()
    )
    if found is None or not _may_keep(found.member, found):
        return None
    account = found.member.account
    if account is None or not account.is_active or waits_for_second_step(found.member, Deed.KEEP_TOKENS, now):
        return None
    return found


def note_use(*, token: ApiToken, now: datetime.datetime) -> None:
    """Note the hour in which a token was used: one write an hour."""
    hour = now.replace(minute=0, second=0, microsecond=0)
    if token.last_used_at is None or token.last_used_at < hour:
        ApiToken.objects.filter(pk=token.pk).update(last_used_at=hour)


def digest_of(secret: str) -> str:
    """What is kept of a token. It is random enough that no slow digest is needed."""
    return hashlib.sha256(secret.encode("utf-8", "surrogateescape")).hexdigest()


# --- Private ---------------------------------------------------------------------------------------------------------


def _may_keep(member: Member, token: ApiToken) -> bool:
    """Whether the maker may still do all that the token does."""
    return member.may(Deed.KEEP_TOKENS) and all(member.may(NEEDS[scope]) for scope in Scope if token.opens(scope))


def _ask_sensible(member: Member, scopes: Collection[Scope]) -> None:
    if not scopes:
        raise errors.NoScope
    if Scope.NAMES in scopes and not {Scope.PLANS, Scope.HOURS} & set(scopes):
        raise errors.NamesOfNobody
    if Scope.OUTLINES in scopes and Scope.STANDS not in scopes:
        raise errors.OutlinesOfNothing
    if beyond := [str(scope.label) for scope in Scope if scope in scopes and not member.may(NEEDS[scope])]:
        raise errors.ScopeNotYours(scopes=", ".join(beyond))
