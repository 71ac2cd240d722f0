"""Founding and describing a group."""

import datetime

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils.text import slugify

from reedcrew.people.audit import record
from reedcrew.people.errors import TooManyGroups
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, AuditEntry, Group, Member
from reedcrew.people.roles import Role
from reedcrew.people.services.joining import enter
from reedcrew.web.lengths import length_of

_SLUG_LENGTH = length_of(Group, "slug")
GROUPS_A_DAY = 5  # of one account: a person founds one, a program any number (convention)
_FOUNDED = "group founded"
_TRIES = 5  # two groups of one name founded in the same moment


@transaction.atomic
def found_group(
    *,
    name: str,
    contact_email: str,
    about: str,
    founder_name: str,
    language: str = settings.LANGUAGE_CODE,
    actor: Account,
    now: datetime.datetime,
) -> Member:
    """Found a group with ``actor``, who says that they are 18 or older, as its organizer; returns that membership.

    Its short name in addresses is made from its name and never changes. Somebody who is the organizer of a group of
    this name already gets that one, so that a double click makes one group. Raises TooManyGroups.
    """
    Account.objects.select_for_update(no_key=True).get(pk=actor.pk)
    mine = Member.objects.current().of_account(actor).filter(role=Role.ORGANIZER, group__name__iexact=name)
    if founded := mine.select_related("group").order_by("pk").first():
        return founded
    a_day_ago = now - datetime.timedelta(days=1)
    if AuditEntry.objects.filter(actor=actor, deed=_FOUNDED, at__gt=a_day_ago).count() >= GROUPS_A_DAY:
        raise TooManyGroups(limit=GROUPS_A_DAY)
    group = _create(name=name, contact_email=contact_email, about=about, language=language, now=now)
    record(group=group, actor=actor, at=now, deed=_FOUNDED, subject=group, name=name)
    return enter(
        group=group,
        account=actor,
        name=founder_name,
        role=Role.ORGANIZER,
        adult=True,
        born_on=None,
        actor=actor,
        now=now,
    )


def _create(*, name: str, contact_email: str, about: str, language: str, now: datetime.datetime) -> Group:
    for attempt in range(_TRIES):
        try:
            with transaction.atomic():
                return Group.objects.create(
                    name=name,
                    slug=_free_slug(name),
                    contact_email=contact_email,
                    about=about,
                    language=language,
                    created_at=now,
                )
        except IntegrityError:
            if attempt == _TRIES - 1:
                raise
    raise AssertionError("the last attempt returns or raises")


def _free_slug(name: str) -> str:
    wanted = slugify(name)[:_SLUG_LENGTH].strip("-") or "group"
    slug, number = wanted, 1
    while Group.objects.filter(slug=slug).exists():
        number += 1
        slug = f"{wanted[: _SLUG_LENGTH - len(str(number)) - 1]}-{number}"
    return slug


@transaction.atomic
def edit_group(
    *, group: Group, name: str, contact_email: str, about: str, language: str, actor: Account, now: datetime.datetime
) -> Group:
    """Change what the group says of itself. Its address stays, so that links which were passed on keep working."""
    group = lock_group(group)
    fresh = {"name": name, "contact_email": contact_email, "about": about, "language": language}
    changed = sorted(field for field, value in fresh.items() if getattr(group, field) != value)
    if changed:
        for field in changed:
            setattr(group, field, fresh[field])
        group.save(update_fields=changed)
        record(group=group, actor=actor, at=now, deed="group changed", subject=group, fields=changed)
    return group
