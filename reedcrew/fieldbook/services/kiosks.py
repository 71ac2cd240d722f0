"""Links for signing in on one phone that is passed around: made and revoked by who runs the day."""

import datetime

from django.db import transaction

from reedcrew.fieldbook.hours import TAKES_UNTIL
from reedcrew.fieldbook.models import KioskLink
from reedcrew.fieldbook.services.entries import open_day
from reedcrew.fieldbook.tokens import digest_of, new_token
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay


@transaction.atomic
def make_kiosk_link(*, day: WorkDay, actor: Account, now: datetime.datetime) -> tuple[KioskLink, str]:
    """A link that works until the fieldbook of the day takes no more times, and its token, which is not kept.

    Raises FieldbookClosed.
    """
    day = open_day(day)
    token = new_token()
    link = KioskLink.objects.create(
        day=day, digest=digest_of(token), made_by=actor, made_at=now, ends_at=day.ends_at + TAKES_UNTIL
    )
    record(group=day.group, actor=actor, at=now, deed="sign-in link made", subject=link)
    return link, token


@transaction.atomic
def revoke_kiosk_link(*, link: KioskLink, actor: Account, now: datetime.datetime) -> None:
    """From now on nobody signs in with the link. Revoked again it keeps its first time."""
    held = KioskLink.objects.select_for_update(no_key=True).get(pk=link.pk)
    if held.revoked_at is None:
        held.revoked_at, held.revoked_by = now, actor
        held.save(update_fields=["revoked_at", "revoked_by"])
        record(group=link.day.group, actor=actor, at=now, deed="sign-in link revoked", subject=held)
