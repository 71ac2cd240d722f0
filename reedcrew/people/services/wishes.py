"""Whom people ask to work with, and whom to be kept apart from."""

import datetime

from django.db import transaction

from reedcrew.people.errors import WishContradicts, WishOfOneself, WishOutsideGroup
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Member, Wish
from reedcrew.people.services.deeds import changed


@transaction.atomic
def make_wish(*, member: Member, other: Member, kind: Wish.Kind, actor: Account, now: datetime.datetime) -> Wish:
    """Note that ``member`` asks to work with ``other`` or to be kept apart from them. Repeating a wish changes nothing.

    The record of deeds does not say whom the wish is about. Raises WishOfOneself, WishOutsideGroup, WishContradicts.
    """
    lock_group(member.group)
    if other.pk == member.pk:
        raise WishOfOneself
    if other.group_id != member.group_id or other.left_at is not None:
        raise WishOutsideGroup
    wish, made = Wish.objects.get_or_create(member=member, other=other, defaults={"kind": kind})
    if wish.kind != kind:
        raise WishContradicts(name=other.name)
    if made:
        changed(member=member, actor=actor, now=now, deed="wish made")
    return wish


@transaction.atomic
def drop_wish(*, wish: Wish, actor: Account, now: datetime.datetime) -> None:
    """Take a wish back."""
    deleted, _by_model = Wish.objects.filter(pk=wish.pk).delete()
    if deleted:
        changed(member=wish.member, actor=actor, now=now, deed="wish taken back")
